// SPDX-License-Identifier: Apache-2.0
// truth.json against geometry worked out here from the scene, and the files against DICOM tools of other hands:
// dciodvfy (dicom3tools) for the XA module, dcmdjpeg and dcmdump (dcmtk) for pixels and attributes.
#include "imaging/phantom/truth.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>

#include "geometry/curve.h"
#include "imaging/dicom/write.h"

namespace fairlead {
namespace {

using nlohmann::json;

std::filesystem::path Folder() {
  const auto folder = std::filesystem::path(testing::TempDir()) / ("phantom-" + std::string(testing::UnitTest::GetInstance()->current_test_info()->name()));
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

struct Said {
  int status = -1;
  std::string text;
};
Said Asked(const std::string& command) {
  Said said;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return said;
  char buffer[4096];
  while (const std::size_t n = fread(buffer, 1, sizeof buffer, pipe)) said.text.append(buffer, n);
  said.status = pclose(pipe);
  return said;
}

std::string Read(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

Vec3 ToVec(const json& list) { return {list[0], list[1], list[2]}; }

TEST(Truth, AgreesWithItsOwnCentrelinesSeenFromEachView) {
  for (const std::string_view name : SceneNames()) {
    const Scene scene = MakeScene(name, 6).value();
    const auto plans = UsualRuns(scene, Grade::kClean);
    const json truth = json::parse(TruthJson(scene, plans));
    EXPECT_EQ(truth["invented"], true);
    for (std::size_t r = 0; r < plans.size(); ++r) {
      const json& run = truth["runs"][r];
      const double sid = run["sid_mm"], sod = run["sod_mm"], px = run["detector_spacing_mm"];
      const double a = double(run["primary_deg"]) * M_PI / 180, b = double(run["secondary_deg"]) * M_PI / 180;
      const Vec3 d{std::sin(a) * std::cos(b), -std::cos(a) * std::cos(b), std::sin(b)};
      const Vec3 u{std::cos(a), std::sin(a), 0}, v{std::sin(a) * std::sin(b), -std::cos(a) * std::sin(b), -std::cos(b)};
      for (std::size_t k = 0; k < scene.vessels.size(); ++k) {
        const json& line = truth["vessels"][k]["centreline_mm"];
        for (std::size_t i = 0; i < line.size(); i += 7) {
          const Vec3 p = ToVec(line[i]);
          const double w = Dot(p, d) + sod;
          EXPECT_NEAR(run["vessels"][k]["path_px"][i][0], 255.5 + sid * Dot(p, u) / w / px, 0.001);
          EXPECT_NEAR(run["vessels"][k]["path_px"][i][1], 255.5 + sid * Dot(p, v) / w / px, 0.001);
        }
      }
      if (scene.occlusion) {
        ASSERT_EQ(run["caps"].size(), static_cast<std::size_t>(plans[r].frames));
        const Vec3 cap = ToVec(truth["occlusion"]["proximal_cap_mm"]);
        const double w = Dot(cap, d) + sod;  // frame 0 is the end of diastole and of expiration
        EXPECT_NEAR(run["caps"][0]["proximal_px"][0], 255.5 + sid * Dot(cap, u) / w / px, 0.001);
      }
    }
    if (scene.occlusion) {
      double length = 0;
      const json& course = truth["occlusion"]["course_mm"];
      for (std::size_t i = 1; i < course.size(); ++i) length += Norm(ToVec(course[i]) - ToVec(course[i - 1]));
      EXPECT_NEAR(truth["occlusion"]["length_mm"], length, 0.01);
    }
  }
}

TEST(Truth, HasViewsFarEnoughApartForAReconstruction) {
  for (const std::string_view name : SceneNames()) {
    const Scene scene = MakeScene(name, 1).value();
    const auto plans = UsualRuns(scene, Grade::kTypical);
    ASSERT_GE(plans.size(), 2u);
    EXPECT_GE(AngleBetweenBeams(plans[0].view, plans[1].view).degrees(), 45.0) << name;
  }
}

TEST(XaSet, IsFaultlessToAnIndependentValidator) {
  const auto folder = Folder();
  ASSERT_TRUE(WriteXaPhantom(folder, {"short-right", 2, Grade::kTypical, 8}).ok());
  for (int i = 1; i <= 3; ++i) {
    const Said said = Asked("timeout 60 dciodvfy -new " + (folder / ("run-" + std::to_string(i) + ".dcm")).string());
    EXPECT_EQ(said.status, 0) << said.text;
    EXPECT_EQ(said.text.find("Error"), std::string::npos) << said.text;
    EXPECT_NE(said.text.find("XAImage"), std::string::npos) << said.text;
  }
  const json truth = json::parse(Read(folder / "truth.json"));
  EXPECT_EQ(truth["runs"].size(), 3u);
  std::filesystem::remove_all(folder);
}

TEST(XaSet, SaysThatItIsInvented) {
  const auto folder = Folder();
  ASSERT_TRUE(WriteXaPhantom(folder, {"open-left", 2, Grade::kClean, 12}).ok());
  const std::string all = Asked("dcmdump " + (folder / "run-1.dcm").string()).text;
  for (const char* want : {"INVENTED^open-left-2", "[synthetic: open-left RAO 20 CAU 28]", "DERIVED\\PRIMARY\\SINGLE PLANE", "there is no patient",
                           "PatientIdentityRemoved", "[YES]", "[765]", "[1100]", "[0.3125\\0.3125]", "[-20]", "[-28]", "JPEGLossless"}) {
    EXPECT_NE(all.find(want), std::string::npos) << want;
  }
  std::filesystem::remove_all(folder);
}

// The same pixels, plain and compressed, decoded by another hand.
TEST(XaFile, DecodesToTheRenderedPixelsInBothForms) {
  const auto folder = Folder();
  const Scene scene = MakeScene("circumflex-marginal", 3).value();
  for (const int bits : {8, 12}) {
    RunPlan plan = UsualRuns(scene, Grade::kPoor).front();
    plan.bits_stored = bits, plan.frames = 3;
    const PhantomRun rendered = RenderRun(scene, plan).value();
    SyntheticRun run{plan.view, bits, plan.frame_time, rendered.pixels, {rendered.left, rendered.right, rendered.top, rendered.bottom}, {0}, 0, 0, "a test", "test", 1};
    std::string want;
    for (const std::uint16_t value : rendered.pixels) {
      want += static_cast<char>(value & 0xFF);
      if (bits > 8) want += static_cast<char>(value >> 8);
    }
    for (const XaCompression compression : {XaCompression::kNone, XaCompression::kJpegLossless}) {
      const auto bytes = XaFile(run, compression).value();
      std::ofstream(folder / "x.dcm", std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
      const std::string d = folder.string();
      const Said said = Asked("cd " + d + " && dcmdjpeg x.dcm plain.dcm && dcmdump +W . +P 7FE0,0010 plain.dcm && cat plain*.raw > pixels && rm plain*.raw");
      ASSERT_EQ(said.status, 0) << said.text;
      EXPECT_TRUE(Read(folder / "pixels") == want) << bits;
    }
  }
  std::filesystem::remove_all(folder);
}

TEST(XaFile, HasTheSameBytesTwiceAndItsOwnUidForOtherPixels) {
  const Scene scene = MakeScene("open-right", 3).value();
  RunPlan plan = UsualRuns(scene, Grade::kTypical).front();
  plan.frames = 2;
  EXPECT_TRUE(PhantomFile(scene, plan, 1).value() == PhantomFile(scene, plan, 1).value());
  const auto first = PhantomFile(scene, plan, 1).value();
  plan.seed += 1;
  const auto second = PhantomFile(scene, plan, 1).value();
  const auto uid = [](const std::vector<std::uint8_t>& file) {
    const std::string text(file.begin(), file.begin() + 400);
    return text.substr(text.find("2.25."), 44);
  };
  EXPECT_NE(uid(first), uid(second));
}

TEST(XaFile, RefusesWhatCannotBeARun) {
  const std::vector<std::uint16_t> pixels(512 * 512, 200);
  SyntheticRun run{UsualView({}, {}), 8, Duration::Milliseconds(66), pixels, {0, 511, 0, 511}, {}, 0, 0, "t", "s", 1};
  EXPECT_TRUE(XaFile(run, XaCompression::kNone).ok());
  run.pixels = std::span(pixels).first(1000);
  EXPECT_EQ(XaFile(run, XaCompression::kNone).error().what, "the pixels do not make whole frames");
  const std::vector<std::uint16_t> bright(512 * 512, 256);
  run.pixels = bright;
  EXPECT_EQ(XaFile(run, XaCompression::kNone).error().what, "a pixel is larger than the stored bits hold");
  run.pixels = pixels, run.view.rows = 0;
  EXPECT_FALSE(XaFile(run, XaCompression::kNone).ok());
}

TEST(XaSet, SaysWhatIsWrongWithAnOrder) {
  EXPECT_FALSE(WriteXaPhantom(Folder(), {"nowhere", 1, Grade::kClean, 8}).ok());
  EXPECT_FALSE(WriteXaPhantom("/proc/nowhere", {"open-left", 1, Grade::kClean, 8}).ok());
}

}  // namespace
}  // namespace fairlead
