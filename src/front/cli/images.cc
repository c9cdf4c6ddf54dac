// SPDX-License-Identifier: Apache-2.0
// xa show, image import, phantom xa.
#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <span>
#include <system_error>

#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/body.h"
#include "front/server/case_dose.h"
#include "front/server/client.h"
#include "front/server/json_text.h"
#include "front/server/practice.h"
#include "imaging/child/decode.h"
#include "imaging/dicom/run_json.h"
#include "imaging/phantom/truth.h"
#include "keeping/images/doses.h"

namespace fairlead {
namespace {

std::string Millimetres(const std::optional<Length>& length) {
  return length ? fmt::format("{:g} mm", length->millimetres()) : "not stated";
}

void PrintRun(const Run& run) {
  std::vector<std::vector<std::string>> rows = {
      {"kind", KindText(run.kind)},
      {"transfer syntax", run.transfer_syntax_name},
      {"frames", fmt::format("{} of {} x {} (columns x rows)", run.frames, run.columns, run.rows)},
      {"stored values", fmt::format("{} bit of {}, {} a pixel{}", run.bits_stored, run.bits, run.samples,
                                    run.inverse ? ", smallest is white" : "")},
      {"timing", run.timing},
      {"view", run.view ? ViewText(*run.view) : "not stated"},
      {"source to detector", Millimetres(run.source_to_detector)},
      {"source to isocentre", Millimetres(run.source_to_isocentre)},
      {"detector spacing", run.spacing_from}};
  if (run.pixel_size) {
    rows.push_back({"pixel at the isocentre", fmt::format("{:.4f} ± {:.4f} mm ({})",
                                                          run.pixel_size->per_pixel.millimetres(),
                                                          run.pixel_size->sd.millimetres(), run.pixel_size->method)});
  }
  Print(Table(rows));
  for (const auto& remark : run.remarks) {
    Print((remark.level == RemarkLevel::kWarning ? "warning: " : "note: ") + remark.text);
  }
}

struct Taken {
  std::string hash;
  bool again = false;
  std::vector<std::string> warnings;  // of the run: a file that ends early, an angle that contradicts its picture
};

std::vector<std::string> WarningsOf(const Run& run) {
  std::vector<std::string> warnings;
  for (const RunRemark& remark : run.remarks)
    if (remark.level == RemarkLevel::kWarning) warnings.push_back(remark.text);
  return warnings;
}

// A member of an object that is text; empty if there is none.
std::string TextMember(std::string_view object, std::string_view name) {
  const auto members = MembersOf(object);
  if (!members.ok()) return {};
  for (const auto& [key, value] : *members) {
    if (key != name) continue;
    const auto text = ParseText(value);
    return text.ok() ? *text : std::string{};
  }
  return {};
}

// The same from the server's Image; nothing if it is a dose report.
std::vector<std::string> WarningsIn(std::string_view image) {
  std::vector<std::string> warnings;
  const auto members = MembersOf(image);
  if (!members.ok()) return warnings;
  for (const auto& [name, list] : *members) {
    if (name != "remarks") continue;
    const auto remarks = ElementsOf(list);
    if (!remarks.ok()) return warnings;
    for (const std::string_view remark : *remarks)
      if (TextMember(remark, "level") == "warning") warnings.push_back(TextMember(remark, "text"));
  }
  return warnings;
}

void ShowProgress(const std::filesystem::path& file, const std::string& what) {
  std::fprintf(stderr, "\r\033[K%s: %s", file.filename().c_str(), what.c_str());
}

// Files, and the files of folders (by name, so that runs keep their order). Links inside folders are not followed.
Result<std::vector<std::filesystem::path>> AllFiles(const std::vector<std::filesystem::path>& given) {
  std::vector<std::filesystem::path> files;
  for (const auto& path : given) {
    std::error_code code;
    if (!std::filesystem::exists(path, code)) return Error{"there is no such file or folder", path.string(), "check its name"};
    if (!std::filesystem::is_directory(path, code)) {
      files.push_back(path);
      continue;
    }
    std::vector<std::filesystem::path> inside;
    for (auto at = std::filesystem::recursive_directory_iterator(path, code);
         !code && at != std::filesystem::recursive_directory_iterator(); at.increment(code)) {
      if (at->is_regular_file(code) && !at->is_symlink(code)) inside.push_back(at->path());
    }
    if (code) return Error{"the folder cannot be read: " + code.message(), path.string(), "check its rights", Fault::kOutside};
    std::sort(inside.begin(), inside.end());
    files.insert(files.end(), inside.begin(), inside.end());
  }
  return files;
}

Result<Taken> ThroughServer(Client& client, const std::string& case_id, const std::filesystem::path& file,
                            const std::stop_token& stop) {
  auto answer = client.PostFile("/api/images?case=" + case_id, file, stop, [&](std::uint64_t sent, std::uint64_t all) {
    ShowProgress(file, all == 0 ? "sent" : fmt::format("{} % sent", sent * 100 / all));
  });
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  auto members = MembersOf(answer->body);
  if (!members.ok()) return members.error();
  Taken taken;
  for (const auto& [name, value] : *members) {
    if (name == "hash") taken.hash = value.size() > 2 ? value.substr(1, value.size() - 2) : value;
    if (name == "again") taken.again = value == "true";
    if (name == "image") taken.warnings = WarningsIn(value);
  }
  return taken;
}

// A file that holds no run may be a dose report, as with the server. If it is neither, `no_run` is said.
Result<Taken> DoseByOurselves(Practice& practice, const std::string& case_id, const std::filesystem::path& file, const std::stop_token& stop, const Error& no_run) {
  auto upload = practice.images().Begin();
  if (!upload.ok()) return upload.error();
  std::ifstream bytes(file, std::ios::binary);
  std::vector<std::uint8_t> piece(std::size_t{1} << 20);
  while (bytes && !stop.stop_requested()) {
    bytes.read(reinterpret_cast<char*>(piece.data()), static_cast<std::streamsize>(piece.size()));
    const auto got = std::span(piece).first(static_cast<std::size_t>(bytes.gcount()));
    if (Status added = (*upload)->Add(got); !added.ok()) return no_run;
  }
  auto imported = FinishDose(**upload, stop);
  if (!imported.ok()) return no_run;
  auto entry = AddDose(practice, case_id, imported->hash, false, "command line");
  if (!entry.ok()) return entry.error();
  return Taken{imported->hash, entry->again, {}};
}

Result<Taken> ByOurselves(Practice& practice, const std::string& case_id, const std::filesystem::path& file,
                          const std::stop_token& stop) {
  auto imported = practice.images().Import(file, stop, [&](const ImportProgress& progress) {
    ShowProgress(file, progress.frames == 0 ? fmt::format("{} bytes", progress.bytes)
                                            : fmt::format("frame {} of {}", progress.frames_done, progress.frames));
  });
  if (!imported.ok()) {
    return imported.error().fault == Fault::kInput ? DoseByOurselves(practice, case_id, file, stop, imported.error()) : Result<Taken>(imported.error());
  }
  auto entry = practice.AddImage(case_id, imported->run, "command line");
  if (!entry.ok()) return entry.error();
  return Taken{imported->hash, imported->again, WarningsOf(imported->run)};
}

// What came of each file. A file that cannot be read is told and passed over; anything from outside ends the import.
class Import {
 public:
  explicit Import(bool json) : json_(json) { text_.Open('{').Key("images").Open('['); }

  // False: go no further.
  bool Take(const std::filesystem::path& file, const Result<Taken>& taken) {
    std::fprintf(stderr, "\r\033[K");
    if (taken.ok()) {
      text_.Open('{').Member("file", file.string()).Member("hash", taken->hash).Member("again", taken->again).Key("warnings").Open('[');
      for (const std::string& warning : taken->warnings) text_.Text(warning);
      text_.Close(']').Close('}');
      if (!json_) Print(file.string() + ": " + (taken->again ? "was there already" : "taken in"));
      for (const std::string& warning : taken->warnings)
        if (!json_) Print("  warning: " + warning);
      return true;
    }
    exit_ = std::max(exit_, Fail(Within(file.string(), taken.error())));
    text_.Open('{').Member("file", file.string()).Member("refused", Sentence(taken.error())).Close('}');
    return taken.error().fault == Fault::kInput;
  }
  int End() {
    if (json_) Print(text_.Close(']').Close('}').Take());
    return exit_;
  }

 private:
  bool json_;
  JsonText text_;
  int exit_ = 0;
};

}  // namespace

int ShowRun(const Arguments& arguments) {
  const std::string path = arguments.files.front().string();
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) {
    return Fail(Error{std::string("the file cannot be opened: ") + std::strerror(errno), path, "check its name and rights"});
  }
  const Descriptor owned(file);
  const auto interrupt = TakeInterrupts();
  auto decoded = DecodeInChild(file, Descriptor(), {}, interrupt->token(), {});
  if (!decoded.ok()) return Fail(Within(path, decoded.error()));
  if (arguments.json) Print(RunJson(decoded->run));
  else PrintRun(decoded->run);
  return 0;
}

int ImportImages(const Arguments& given) {
  Arguments arguments = given;
  auto files = AllFiles(arguments.files);
  if (!files.ok()) return Fail(files.error());
  {
    auto journal = ReadJournal(arguments);
    if (!journal.ok()) return Fail(journal.error());
    auto id = WholeId(**journal, arguments);
    if (!id.ok()) return Fail(id.error());
    arguments.case_id = std::move(*id);
  }
  const auto client = Connect(arguments.data);
  std::unique_ptr<Practice> practice;
  if (client == nullptr) {
    auto opened = Practice::Open(arguments.data, {});
    if (!opened.ok()) return Fail(opened.error());
    practice = std::move(*opened);
  }
  const auto interrupt = TakeInterrupts();
  Import import(arguments.json);
  for (const auto& file : *files) {
    if (interrupt->token().stop_requested()) break;
    const auto taken = client != nullptr ? ThroughServer(*client, arguments.case_id, file, interrupt->token())
                                         : ByOurselves(*practice, arguments.case_id, file, interrupt->token());
    if (!import.Take(file, taken)) break;
  }
  const int exit = import.End();
  if (interrupt->token().stop_requested()) return Fail(Error{"stopped; what was taken in stays", "", "", Fault::kInput});
  return exit;
}

int MakePhantom(const Arguments& arguments) {
  const auto scenes = SceneNames();
  PhantomOrder order;
  order.seed = arguments.seed;
  order.bits_stored = arguments.bits;
  if (!arguments.scene.empty()) order.scene = arguments.scene;
  if (std::find(scenes.begin(), scenes.end(), order.scene) == scenes.end()) {
    std::string known;
    for (const auto scene : scenes) known += (known.empty() ? "known are " : ", ") + std::string(scene);
    return Fail(Error{"there is no such scene", "--scene " + order.scene, known, Fault::kUsage});
  }
  auto grade = ParseGrade(arguments.grade);
  if (!grade.ok()) return Fail(grade.error());
  order.grade = *grade;
  auto written = WriteXaPhantom(arguments.out, order);
  if (!written.ok()) return Fail(written.error());
  const std::string folder = arguments.out.string();
  Print(arguments.json ? JsonText().Open('{').Member("folder", folder).Member("truth", "truth.json").Close('}').Take()
                       : "synthetic runs and their truth.json are in " + folder);
  return 0;
}

}  // namespace fairlead
