// SPDX-License-Identifier: Apache-2.0
// case export, case import.
#include <fmt/core.h>

#include "front/cli/carry.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/body.h"
#include "front/server/client.h"
#include "front/server/deid_case.h"
#include "front/server/json_text.h"
#include "front/server/parcel_json.h"
#include "front/server/practice_carry.h"
#include "front/server/random.h"

namespace fairlead {
namespace {
namespace fs = std::filesystem;

// Beside its name until it is whole.
Result<Packed> PackFile(const ParcelContents& contents, const fs::path& file) {
  std::error_code fault;
  if (fs::exists(fs::symlink_status(file, fault))) return Error{"there is something of this name already", file.string(), "choose a name that is free"};
  auto archive = TemporaryFile::Make(file.has_parent_path() ? file.parent_path() : fs::path("."));
  if (!archive.ok()) return archive.error();
  auto packed = PackArchive(contents, *archive);
  if (!packed.ok()) return packed;
  if (auto kept = archive->Keep(file.has_parent_path() ? file : fs::path(".") / file, true); !kept.ok()) return kept.error();
  return packed;
}

// {"case", ..., "says"} of the running program.
Result<std::string> ThroughServer(Client& client, ParcelSource& source, const fs::path& given, const fs::path& data) {
  std::error_code fault;
  fs::path file = given;
  std::optional<TemporaryFile> packed;
  if (fs::is_directory(given, fault)) {
    // The running program takes one file: the folder is read and verified here, and packed as it stands.
    auto read = ReadParcel(source, Now());
    if (!read.ok()) return read.error();
    auto made = TemporaryFile::Make(data / "images" / "incoming");
    if (!made.ok()) return made.error();
    ParcelContents contents;
    contents.chain = std::move(read->chain), contents.lab = std::move(read->lab), contents.absent = read->manifest.absent;
    contents.program = read->manifest.program, contents.deidentified = read->manifest.deidentified;
    for (const ParcelFile& each : read->manifest.files)
      if (IsImageName(each.path)) {
        contents.images.push_back({each.path, given / each.path});
      } else if (each.path == "removed.txt") {
        const auto add = [&contents](std::span<const std::uint8_t> bytes) -> Status { contents.removed.append(bytes.begin(), bytes.end()); return Done{}; };
        if (auto list = source.Read(each.path, add); !list.ok()) return list.error();
      }
    if (auto done = PackArchive(contents, *made); !done.ok()) return done.error();
    file = fs::read_symlink("/proc/self/fd/" + std::to_string(made->fd()), fault);
    packed.emplace(std::move(*made));
  }
  auto answer = client.PostFile("/api/cases/import", file, {}, [](std::uint64_t, std::uint64_t) {});
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  return std::move(answer->body);
}

std::string SaysIn(std::string_view json) {
  auto members = MembersOf(json);
  if (!members.ok()) return "taken in";
  for (const auto& [name, value] : *members)
    if (name == "says") return ParseText(value).ok() ? *ParseText(value) : "taken in";
  return "taken in";
}

Result<Packed> Pack(const ParcelContents& contents, const fs::path& out) { return out.extension() == ".tar" ? PackFile(contents, out) : PackFolder(contents, out); }

}  // namespace

std::string TakenOutWords(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

int ExportDeidentified(const Arguments& arguments) {
  if (Connect(arguments.data) != nullptr) return Fail(Error{"the program is running on this folder", arguments.data.string(), "take the de-identified case from the page (Record), or end the program first"});
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return Fail(practice.error());
  auto id = WholeId((*practice)->journal(), arguments);
  if (!id.ok()) return Fail(id.error());
  auto entries = (*practice)->journal().Entries(*id);
  if (!entries.ok()) return Fail(entries.error());
  const DeidSettings settings{arguments.name.empty() ? "default" : arguments.name, arguments.report.mask, arguments.only == "teaching", arguments.report.keep};
  auto leaving = DeidentifyCase(*entries, (*practice)->images(), arguments.data, settings, kVersion);
  if (!leaving.ok()) return Fail(leaving.error());
  auto packed = Pack(leaving->contents, arguments.out);
  if (!packed.ok()) return Fail(packed.error());
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("case", leaving->contents.chain.case_id).Member("entries", leaving->contents.chain.entries.size()).Member("images", packed->images);
    json.Member("left_out", leaving->images_left_out).Member("bytes", packed->bytes).Member("deidentified", true).Key("taken_out").Open('[');
    for (const std::string& word : leaving->taken_out) json.Text(word);
    json.Close(']').Key("stayed").Open('[');
    for (const std::string& word : leaving->stayed) json.Text(word);
    Print(json.Close(']').Close('}').Take());
    return 0;
  }
  Print(fmt::format("written: {}, {} entries, {} images, {} left out; removed.txt lists what is gone", arguments.out.string(), leaving->contents.chain.entries.size(), packed->images, leaving->images_left_out));
  if (!leaving->taken_out.empty()) Print("taken out of kept words as possible names; give with --keep-word each that is none: " + TakenOutWords(leaving->taken_out));
  if (!leaving->stayed.empty()) Print("stayed as ordinary words, and are names as well; give with --mask each that is one here: " + TakenOutWords(leaving->stayed));
  Print("look through it before it leaves: a name that is an ordinary word written small (baker) is taken out only where it is given with --mask");
  return 0;
}

int ExportCase(const Arguments& arguments) {
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return Fail(journal.error());
  auto id = WholeId(**journal, arguments);
  if (!id.ok()) return Fail(id.error());
  auto contents = GatherCase(**journal, arguments.data, *id, kVersion);
  if (!contents.ok()) return Fail(contents.error());
  auto packed = Pack(*contents, arguments.out);
  if (!packed.ok()) return Fail(packed.error());
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("case", *id).Member("entries", contents->chain.entries.size()).Member("images", packed->images);
    Print(json.Member("absent", packed->absent).Member("bytes", packed->bytes).Member("deidentified", false).Close('}').Take());
    return 0;
  }
  Print(fmt::format("written: {}, {} entries, {} images, {} bytes{}", arguments.out.string(), contents->chain.entries.size(), packed->images, packed->bytes,
                    packed->absent == 0 ? "" : fmt::format("; {} images that the journal names are not here any more", packed->absent)));
  Print("it can tell who the patient is: handle it as a patient record");
  return 0;
}

int ImportCase(const Arguments& arguments) {
  const fs::path& given = arguments.files.front();
  auto source = OpenParcel(given);
  if (!source.ok()) return Fail(source.error());
  Result<std::string> answer = std::string();
  if (const auto client = Connect(arguments.data)) {
    answer = ThroughServer(*client, **source, given, arguments.data);
  } else {
    auto practice = Practice::Open(arguments.data, {});
    if (!practice.ok()) return Fail(practice.error());
    const auto carry_in = [&practice](const std::vector<const CarriedChain*>& chains, bool only_look) { return Carry(**practice, chains, only_look); };
    auto taken = TakeParcel(**source, carry_in, arguments.data, Now());
    if (!taken.ok()) return Fail(taken.error());
    answer = TakenJson(*taken);
  }
  if (!answer.ok()) return Fail(answer.error());
  Print(arguments.json ? *answer : SaysIn(*answer));
  return 0;
}

}  // namespace fairlead
