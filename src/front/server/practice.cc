// SPDX-License-Identifier: Apache-2.0
#include "front/server/practice.h"

#include <algorithm>

#include "casebook/entry_json.h"
#include "front/server/case_dose.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "front/server/run_shown.h"
#include "front/server/shown.h"
#include "imaging/dicom/run_json.h"
#include "reasoning/assess/assess.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

bool IsMeasured(const IncomingEntry& incoming) {
  const auto* fact = std::get_if<FactStated>(&incoming.entry.data);
  return fact != nullptr && fact->mark == Mark::kMeasured;
}

// An entry that the program writes itself.
Entry OwnEntry(std::string id, Instant at, EntryData data, const std::string& device) {
  Entry entry;
  entry.id = std::move(id);
  entry.at = at;
  entry.written = Now();
  entry.by = "fairlead";
  entry.device = device;
  entry.kind = KindName(data);
  entry.data = std::move(data);
  return entry;
}

// When somebody last wrote, by the writer's clock: a run or a report that joins an old case opens nothing in its room, and
// neither does a case that is brought in. None once the visit has ended.
std::optional<Instant> WorkedOn(const State& state) {
  for (auto index = state.run.rbegin(); index != state.run.rend(); ++index) {
    const Verb verb = std::get<RunEvent>(state.entries[*index].data).verb;
    if (verb == Verb::kEnd) return std::nullopt;
    if (verb == Verb::kTimeout || verb == Verb::kAccess || verb == Verb::kStart) break;  // the present visit's beginning
  }
  const auto last = std::find_if(state.entries.rbegin(), state.entries.rend(), [](const Entry& entry) {
    return !std::holds_alternative<ImageAdded>(entry.data) && !std::holds_alternative<Shown>(entry.data);
  });
  return last == state.entries.rend() ? std::nullopt : std::optional(last->written);
}

std::vector<std::string> HashesOf(const State& state) {
  std::vector<std::string> hashes;
  for (const EntryIndex index : ImagesInOrder(state)) {
    const auto* added = std::get_if<ImageAdded>(&state.entries[index].data);
    if (added != nullptr && added->modality != kReportModality) hashes.push_back(added->hash);
  }
  return hashes;
}

}  // namespace

Appended AppendedOf(const std::string& case_id, const Entry& entry) { return {case_id, entry.seq, entry.recorded, std::holds_alternative<Shown>(entry.data)}; }

Result<std::unique_ptr<Practice>> Practice::Open(const std::filesystem::path& folder, PracticeOptions options) {
  JournalOptions journal_options;
  journal_options.access = options.access;
  journal_options.clock = Now;
  auto journal = OpenJournal(folder, std::move(journal_options));
  if (!journal.ok()) return journal.error();
  auto images = OpenImageStore(folder, options.images);
  if (!images.ok()) return images.error();
  auto practice = std::unique_ptr<Practice>(new Practice());
  practice->journal_ = std::move(*journal);
  practice->images_ = std::move(*images);
  practice->marks_ = std::make_unique<MarksStore>(folder);
  practice->told_ = std::move(options.told);
  practice->keeps_missed_ = options.keep_missed;
  return practice;
}

Result<bool> Practice::Has(const std::string& case_id) {
  if (case_id == kLabCase) return false;  // a journal, but no case
  const std::lock_guard lock(mutex_);
  if (cases_.contains(case_id)) return true;
  auto lines = journal_->Cases();
  if (!lines.ok()) return lines.error();
  return std::any_of(lines->begin(), lines->end(), [&](const CaseLine& line) { return line.id == case_id; });
}

// Reads the entries that the state does not have yet.
Status Practice::CatchUp(const std::string& case_id, Held& held) {
  auto entries = journal_->Entries(case_id, held.state.seq);
  if (!entries.ok()) return entries.error();
  if (entries->empty()) return Done{};
  const std::int64_t before = held.state.seq;
  if (before == 0) {
    held.state = Fold(std::move(*entries));
  } else {
    for (Entry& entry : *entries) AddEntry(held.state, std::move(entry));
  }
  for (auto entry = held.state.entries.rbegin(); entry != held.state.entries.rend() && entry->seq > before; ++entry)
    if (!std::holds_alternative<Shown>(entry->data)) held.board_seq = std::max(held.board_seq, entry->seq);
  held.worked = WorkedOn(held.state);
  held.json.clear(), held.visits.reset(), held.uses.reset();
  held.summary = SummaryLine(StandingFacts(held.state));
  return Done{};
}

Result<Practice::Held*> Practice::Find(const std::string& case_id) {
  if (const auto at = cases_.find(case_id); at != cases_.end()) return &at->second;
  Held held;
  if (auto read = CatchUp(case_id, held); !read.ok()) return read.error();
  Held* placed = &cases_.emplace(case_id, std::move(held)).first->second;
  KeepMissed(case_id, *placed);
  return placed;
}

Result<std::string> Practice::NewCase(const std::string& title, const std::string& room, const std::string& device) {
  const Instant now = Now();
  const std::string case_id = NewUlid(now, RandomTail());
  const IncomingEntry first =
      MakeIncoming(OwnEntry(NewUlid(now, RandomTail()), now, CaseOpened{.title = title, .room = room}, device));
  const std::lock_guard lock(mutex_);
  auto receipts = journal_->NewCase(case_id, {&first, 1});
  if (!receipts.ok()) return receipts.error();
  return case_id;
}

Result<std::vector<Receipt>> Practice::Append(const std::string& case_id, std::span<const IncomingEntry> entries) {
  if (auto fits = FitsChain(case_id, entries); !fits.ok()) return fits.error();
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  return Write(case_id, **held, entries);
}

Result<std::vector<Receipt>> Practice::Write(const std::string& case_id, Held& held,
                                             std::span<const IncomingEntry> entries) {
  const std::size_t before = held.state.entries.size();
  auto receipts = journal_->Append(case_id, entries);
  if (!receipts.ok()) return receipts;
  if (auto read = CatchUp(case_id, held); !read.ok()) return read.error();
  Status shown = Done{};
  const auto measured = std::find_if(entries.rbegin(), entries.rend(), IsMeasured);
  for (auto entry = entries.begin(); shown.ok() && entry != entries.end(); ++entry) {
    if (entry + 1 == measured.base() || !StepOf(entry->entry.data).empty()) shown = KeepShown(case_id, held, (*receipts)[static_cast<std::size_t>(entry - entries.begin())].id);
  }
  for (std::size_t i = before; told_ && i < held.state.entries.size(); ++i) {
    told_(AppendedOf(case_id, held.state.entries[i]));
  }
  if (!shown.ok()) return Within("the entry is kept, what the screens said is not", shown.error());
  return receipts;
}

Result<Receipt> Practice::AddImage(const std::string& case_id, const Run& run, const std::string& device) {
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  const State& state = (*held)->state;
  if (const auto at = state.images.find(run.hash); at != state.images.end() && !at->second.added.empty()) {
    const Entry& entry = state.entries[at->second.added.front()];
    return Receipt{.id = entry.id, .seq = entry.seq, .recorded = entry.recorded, .hash = entry.hash, .again = true};
  }
  const auto is_image = [](const Entry& entry) {
    const auto* image = std::get_if<ImageAdded>(&entry.data);
    return image != nullptr && image->modality != kReportModality;
  };
  const auto before = std::count_if(state.entries.begin(), state.entries.end(), is_image);
  ImageAdded added{.hash = run.hash,
                   .label = "run " + std::to_string(before + 1),
                   .frames = run.frames,
                   .rows = run.rows,
                   .columns = run.columns,
                   .modality = run.modality};
  const Instant now = Now();
  const IncomingEntry incoming = MakeIncoming(OwnEntry(NewUlid(now, RandomTail()), now, std::move(added), device));
  auto receipts = Write(case_id, **held, {&incoming, 1});
  if (!receipts.ok()) return receipts.error();
  return receipts->front();
}

Result<std::string> Practice::CasesJson() {
  const std::lock_guard lock(mutex_);
  auto lines = journal_->Cases();
  if (!lines.ok()) return lines.error();
  JsonText json;
  json.Open('{').Key("cases").Open('[');
  for (const CaseLine& line : *lines) {
    auto held = Find(line.id);
    if (!held.ok()) return held.error();
    const CaseOpened* opened = CaseInfo((*held)->state);
    json.Open('{').Member("id", line.id).Member("title", opened == nullptr ? std::string() : opened->title);
    json.Member("room", opened == nullptr ? std::string() : opened->room);
    json.Member("invented", opened != nullptr && opened->invented).Member("summary", (*held)->summary);
    json.Member("entries", line.entries).Member("last_at", ToIso(line.last_at)).Key("worked_at");
    (*held)->worked ? json.Text(ToIso(*(*held)->worked)) : json.Null();
    json.Close('}');
  }
  json.Close(']').Close('}');
  return json.Take();
}

Result<std::string> Practice::CaseJsonOf(const std::string& case_id, std::optional<CasePicture::Past> past) {
  std::unique_lock lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  const std::vector<std::string> hashes = HashesOf((*held)->state);
  lock.unlock();
  const auto images = ImagesOf(hashes);  // may decode a run again, which takes seconds
  lock.lock();
  Held& now = **held;  // a map keeps its elements in place
  if (past) {
    std::vector<Entry> entries = now.state.entries;
    lock.unlock();
    const State state = past->known ? Fold(std::move(entries), AsItWasKnown{past->at})
                                    : Fold(std::move(entries), AsItWas{past->at});
    return CaseJson({case_id, state, images, Now(), past});
  }
  const bool all_there = std::none_of(images.begin(), images.end(), [](const auto& i) { return i.second == "null"; });
  if (now.json.empty() || !all_there) {
    // {"now":"2026-11-25T09:41:07.250Z", ...: what follows the time is kept.
    const std::string json = CaseJson({case_id, now.state, images, Now(), std::nullopt});
    const bool same_images = HashesOf(now.state) == hashes;
    if (!all_there || !same_images) return json;
    now.json = json.substr(json.find("Z\"") + 2);
  }
  return "{\"now\":\"" + ToIso(Now()) + "\"" + now.json;
}

Result<StandingCase> Practice::Standing(const std::string& case_id, const Facts& patch) {
  StandingCase standing;
  if (!case_id.empty()) {
    const std::lock_guard lock(mutex_);
    auto held = Find(case_id);
    if (!held.ok()) return held.error();
    standing.facts = StandingFacts((*held)->state);
    standing.seq = (*held)->state.seq;
  }
  for (const auto& [key, belief] : patch) {
    if (std::holds_alternative<Unknown>(belief)) standing.facts.erase(key);
    else standing.facts[key] = belief;
  }
  return standing;
}

Result<std::string> Practice::AssessJson(const std::string& case_id, const Facts& patch) {
  const auto standing = Standing(case_id, patch);
  if (!standing.ok()) return standing.error();
  return AssessmentJson(Assess(standing->facts), standing->seq);
}

Result<std::vector<Appended>> Practice::After(const std::string& case_id, std::int64_t after) {
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  std::vector<Appended> appended;
  for (const Entry& entry : (*held)->state.entries) {
    if (entry.seq > after) appended.push_back(AppendedOf(case_id, entry));
  }
  return appended;
}

Result<std::shared_ptr<const Practice::Image>> Practice::ImageOf(const std::string& hash) {
  {
    const std::lock_guard lock(image_mutex_);
    if (const auto at = held_images_.find(hash); at != held_images_.end()) return at->second;
  }
  auto run = images_->Find(hash);
  if (!run.ok()) return run.error();
  return Remember(std::move(*run));
}

std::shared_ptr<const Practice::Image> Practice::Remember(Run run) {
  std::string json = RunJson(run);
  auto image = std::make_shared<const Image>(Image{std::move(run), std::move(json)});
  const std::lock_guard lock(image_mutex_);
  held_images_[image->run.hash] = image;
  return image;
}

std::map<std::string, std::string> Practice::ImagesOf(const std::vector<std::string>& hashes) {
  std::map<std::string, std::string> images;
  for (const std::string& hash : hashes) {
    auto image = ImageOf(hash);
    images[hash] = image.ok() ? (*image)->json : "null";
  }
  return images;
}

}  // namespace fairlead
