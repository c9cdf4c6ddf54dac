// SPDX-License-Identifier: Apache-2.0
#include "front/server/deid_case.h"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <system_error>

#include "casebook/fold.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "keeping/images/digest.h"
#include "keeping/images/stored.h"
#include "keeping/journal/chain.h"
#include "record/deidentify/burned.h"
#include "record/deidentify/journal.h"
#include "record/deidentify/report.h"
#include "record/picture/raster.h"

namespace fairlead {
namespace {
namespace fs = std::filesystem;

constexpr std::string_view kReadme =
    "One case of Fairlead, de-identified: journal.jsonl is its journal with times moved by a secret number of days, names replaced by\n"
    "stand-ins and typed words removed; images/ holds its pictures, rebuilt from listed attributes and masked where somebody\n"
    "drew a box; removed.txt lists what is gone; manifest.json lists every file with its SHA-256.\n"
    "\n"
    "De-identified is not anonymous: who holds the project's key can go back, and a rare course can be recognised by those who were there.\n"
    "Look through it before it leaves; local rules decide whether it may.\n";

Result<std::string> KeyOf(const fs::path& data, const std::string& project) {
  const bool plain = !project.empty() && project.size() <= 40 && project.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos;
  if (!plain) return Error{"this is no name for a project", "--project", "use small letters, digits and -"};
  std::error_code fault;
  fs::create_directories(data / "projects", fault);
  const fs::path file = data / "projects" / (project + ".key");
  std::array<char, 64> text{};
  for (const bool again : {false, true}) {
    const Descriptor there(open(file.c_str(), O_RDONLY | O_CLOEXEC));
    if (there.ok()) {
      if (read(there.get(), text.data(), text.size()) == static_cast<ssize_t>(text.size())) return std::string(text.data(), text.size());
      return Error{"the project's key is damaged", file.string(), "bring it back from a copy, or choose another project", Fault::kOutside};
    }
    if (again) break;
    const std::string key = RandomHex(32);
    const Descriptor made(open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600));
    if (!made.ok() || write(made.get(), key.data(), key.size()) != static_cast<ssize_t>(key.size()) || fsync(made.get()) != 0) return DiskError("the project's key could not be kept", file);
  }
  return DiskError("the project's key could not be read", file);
}

std::vector<Entry> StandingNotes(const State& state) {
  std::vector<Entry> notes;
  for (const EntryIndex index : state.notes) notes.push_back(state.entries[index]);
  return notes;
}

struct CaseImage {
  std::string hash, label;
  bool report = false;
};
std::vector<CaseImage> ImagesIn(const State& state) {
  std::vector<CaseImage> images;
  for (const EntryIndex index : ImagesInOrder(state))
    if (const auto* added = std::get_if<ImageAdded>(&state.entries[index].data)) images.push_back({added->hash, added->label, added->modality == "SR"});
  return images;
}
std::vector<std::string> HashesIn(const std::vector<CaseImage>& images) {
  std::vector<std::string> hashes;
  hashes.reserve(images.size());
  for (const CaseImage& image : images) hashes.push_back(image.hash);
  return hashes;
}

class Leaving {
 public:
  Leaving(ImageStore& images, const fs::path& data, const DeidProject& project) : images_(images), data_(data), project_(project) {}

  // "left out: why" in the list where it does not leave.
  Status Take(const CaseImage& image, const std::vector<MaskBox>* boxes, std::size_t number, DeidCase& leaving, std::map<std::string, std::string>& stand_ins) {
    const std::string name = fmt::format("picture {}", number);
    const auto leave_out = [&](const std::string& why) -> Status {
      list_ += name + ": left out, " + why + "\n";
      ++leaving.images_left_out;
      return Done{};
    };
    const fs::path stored = StoredImage(data_, image.hash);
    if (stored.empty()) return leave_out("its file is not here any more");
    if (image.report) return TakeReport(image, stored, name, leaving, stand_ins, leave_out);
    if (boxes == nullptr) return leave_out("nobody has looked whether something is written in it");
    auto run = images_.Find(image.hash);
    if (!run.ok()) return run.error();
    auto frames = images_.Frames(image.hash, 0, run->frames - 1);
    if (!frames.ok()) return frames.error();
    if (stored.extension() == ".png") {
      const std::string png = StillOf(*run, frames->bytes, *boxes);
      list_ += fmt::format("{}: a still, {} boxes painted black; only its pixels, in 8 bits, are left\n", name, boxes->size());
      return Keep(image, {reinterpret_cast<const std::uint8_t*>(png.data()), png.size()}, ".png", leaving, stand_ins);
    }
    const Descriptor file(open(stored.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("a stored image could not be opened", stored);
    auto mapped = MappedFile::Map(file.get());
    if (!mapped.ok()) return mapped.error();
    auto made = DeidentifyImage((*mapped)->bytes(), *run, frames->bytes, *boxes, project_);
    if (!made.ok()) return leave_out(made.error().what);
    list_ += fmt::format("{}: {} frames, {} boxes painted black, {} UIDs and dates replaced, removed or written anew:\n", name, run->frames, boxes->size(), made->replaced);
    for (const std::string& line : made->removed) list_ += "  " + line + "\n";
    return Keep(image, made->file, ".dcm", leaving, stand_ins);
  }
  const std::string& list() const { return list_; }

 private:
  // Nothing is drawn in a dose report: nobody needs to look.
  template <typename LeaveOut>
  Status TakeReport(const CaseImage& image, const fs::path& stored, const std::string& name, DeidCase& leaving, std::map<std::string, std::string>& stand_ins, const LeaveOut& leave_out) {
    const Descriptor file(open(stored.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("a stored dose report could not be opened", stored);
    auto mapped = MappedFile::Map(file.get());
    if (!mapped.ok()) return mapped.error();
    auto made = DeidentifyReport((*mapped)->bytes(), project_);
    if (!made.ok()) return leave_out(made.error().what);
    list_ += fmt::format("{}: a dose report, {} UIDs and times replaced, removed or written anew:\n", name, made->replaced);
    for (const std::string& line : made->removed) list_ += "  " + line + "\n";
    return Keep(image, made->file, ".dcm", leaving, stand_ins);
  }

  // A picture without a header is written anew from its pixels: words that a PNG may carry beside them stay behind.
  static std::string StillOf(const Run& run, std::span<const std::uint8_t> frame, const std::vector<MaskBox>& boxes) {
    Raster raster{run.columns, run.rows, run.samples, {frame.begin(), frame.end()}};
    if (run.bits != 8) raster = RasterOf(run, frame, {}, std::max(run.columns, run.rows));
    std::vector<CoveredBox> covered;
    covered.reserve(boxes.size());
    for (const MaskBox& box : boxes) covered.push_back({box.left, box.top, box.width, box.height});
    CoverBoxes(raster, covered);
    return PngBytes(raster);
  }

  Status Keep(const CaseImage& image, std::span<const std::uint8_t> bytes, const char* ending, DeidCase& leaving, std::map<std::string, std::string>& stand_ins) {
    Sha256 digest;
    digest.Add(bytes);
    const std::string hash = digest.Finish();
    auto kept = TemporaryFile::Make(data_ / "images" / "incoming");
    if (!kept.ok()) return kept.error();
    if (auto written = kept->Write(bytes); !written.ok()) return written;
    stand_ins[image.hash] = hash;
    leaving.contents.images.push_back({"images/" + hash + ending, fmt::format("/proc/self/fd/{}", kept->fd())});
    leaving.files.push_back(std::move(*kept));
    return Done{};
  }

  ImageStore& images_;
  const fs::path& data_;
  const DeidProject& project_;
  std::string list_;
};

CarriedChain Chained(const DeidJournal& journal) {
  CarriedChain chain{journal.case_id, {}};
  ChainHasher hasher;
  Hash prev{};
  for (const DeidEntry& each : journal.entries) {
    CarriedEntry carried{each.header, each.data, hasher.OfBytes(each.data), {}, {}};
    prev = carried.entry.hash = hasher.OfEntry(prev, carried.entry, carried.data_hash);
    chain.entries.push_back(std::move(carried));
  }
  return chain;
}

}  // namespace

Result<DeidCase> DeidentifyCase(const std::vector<Entry>& entries, ImageStore& images, const fs::path& data, const DeidSettings& settings, const std::string& program) {
  auto key = KeyOf(data, settings.project);
  if (!key.ok()) return key.error();
  if (entries.empty()) return Error{"the case has no entries", "", "choose another case"};
  const DeidProject project{*key, entries.front().case_id};
  const State state = Fold(entries);
  const std::vector<CaseImage> all = ImagesIn(state);
  const auto masks = MasksOf(StandingNotes(state), HashesIn(all));
  DeidCase leaving;
  Leaving pictures(images, data, project);
  std::map<std::string, std::string> stand_ins;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto looked = masks.find(all[i].hash);
    if (auto taken = pictures.Take(all[i], looked == masks.end() ? nullptr : &looked->second, i + 1, leaving, stand_ins); !taken.ok()) return taken.error();
  }
  const DeidJournal journal = DeidentifyJournal(entries, stand_ins, {settings.keep_teaching, settings.mask, settings.keep_words}, project);
  leaving.taken_out = journal.taken_out, leaving.stayed = journal.stayed;
  std::string& list = leaving.contents.removed = "What was removed, by DICOM PS3.15 Annex E (Basic Profile with 113101, 113103, 113105, 113107, 113108) for pictures, and in the journal\n\njournal:\n";
  for (const auto& [what, count] : journal.removed) list += fmt::format("  {}: {}\n", what, count);
  list += "  every id of case and entries, every hash: replaced; every time: moved by a secret whole number of days\n  what the lab knows (shelf, limits, priors): not part of it\n\n" + pictures.list();
  leaving.contents.chain = Chained(journal);
  leaving.contents.program = program;
  leaving.contents.deidentified = true;
  leaving.contents.readme = kReadme;
  return leaving;
}

std::string LookJson(const std::vector<Entry>& entries, ImageStore& images) {
  const State state = Fold(entries);
  const std::vector<CaseImage> all = ImagesIn(state);
  const auto masks = MasksOf(StandingNotes(state), HashesIn(all));
  JsonText json;
  const auto boxes_of = [&json](const std::vector<MaskBox>& boxes) {
    json.Open('[');
    for (const MaskBox& box : boxes) json.Open('{').Member("left", box.left).Member("top", box.top).Member("width", box.width).Member("height", box.height).Close('}');
    json.Close(']');
  };
  json.Open('{').Key("images").Open('[');
  for (const CaseImage& image : all) {
    if (image.report) continue;
    auto run = images.Find(image.hash);
    if (!run.ok()) continue;
    auto frames = images.Frames(image.hash, 0, run->frames - 1);
    const auto looked = masks.find(image.hash);
    json.Open('{').Member("hash", image.hash).Member("label", image.label).Member("frames", run->frames).Member("rows", run->rows).Member("columns", run->columns);
    json.Member("looked", looked != masks.end()).Key("boxes");
    boxes_of(looked == masks.end() ? std::vector<MaskBox>{} : looked->second);
    json.Key("suspect");
    boxes_of(frames.ok() ? SuspectText(*run, frames->bytes) : std::vector<MaskBox>{});
    json.Member("why", SuspectHeader(*run)).Close('}');
  }
  json.Close(']').Key("perhaps_names").Open('[');
  std::map<std::string, std::string> all_leave;
  for (const CaseImage& image : all) all_leave[image.hash] = image.hash;
  const DeidJournal leaving = DeidentifyJournal(entries, all_leave, {.keep_teaching = true, .mask = {}, .keep_words = {}}, {});
  for (const std::string& word : leaving.taken_out) json.Text(word);
  json.Close(']').Key("stay").Open('[');
  for (const std::string& word : leaving.stayed) json.Text(word);
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
