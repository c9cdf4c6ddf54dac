// SPDX-License-Identifier: Apache-2.0
// The data folder in use: journal and images, and every case's state as far as it was read. Safe from several threads.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "front/server/afterwards.h"
#include "front/server/case_json.h"
#include "front/server/kit_uses.h"
#include "keeping/images/images.h"
#include "keeping/images/marks.h"
#include "keeping/journal/journal.h"
#include "measure/result.h"
#include "practice/registry/registry.h"

namespace fairlead {

// What became known of a case; told in the order of `seq`.
struct Appended {
  std::string case_id;
  std::int64_t seq = 0;
  Instant recorded;
  bool said = false;  // what the screens said at an entry: no board changes by it
};

Appended AppendedOf(const std::string& case_id, const Entry& entry);

// The facts of a case as they stand, with others put in their place.
struct StandingCase {
  Facts facts;
  std::int64_t seq = 0;  // last entry that they rest on; 0 without a case
};

struct PracticeOptions {
  Access access = Access::kOwn;
  ImageStoreSettings images{};
  std::function<void(const Appended&)> told{};  // called after each entry is on the disk; must not wait
  bool keep_missed = false;  // of a step typed just before a crash, what the screens said is written when its case is read
};

class Practice {
 public:
  // Errors: what OpenJournal and OpenImageStore say.
  static Result<std::unique_ptr<Practice>> Open(const std::filesystem::path& folder, PracticeOptions options);

  Journal& journal() { return *journal_; }
  ImageStore& images() { return *images_; }
  MarksStore& marks() { return *marks_; }

  // Everything that follows takes the lock of the practice.
  Result<bool> Has(const std::string& case_id);
  // A new case with its first entry; gives its id.
  Result<std::string> NewCase(const std::string& title, const std::string& room, const std::string& device);
  // A case whose first entries are given; again, if it is there with the same.
  Status OpenCase(const std::string& case_id, std::span<const IncomingEntry> first);
  // Writes, folds, tells; after a measured fact, and at each step of a run, writes what the screens say then (kind `shown`).
  // At a step of a run that is done afterwards: which way is computed anew for it, and the entry does not wait.
  Result<std::vector<Receipt>> Append(const std::string& case_id, std::span<const IncomingEntry> entries);
  // Waits until what the screens said is written of every step, or could not be written.
  void Settle() { afterwards_.Settle(); }
  // Writes what is left of it. From then on nothing is written afterwards, and nobody is told of it.
  void Finish() { afterwards_.Finish(); }
  // {"cases": [...]}.
  Result<std::string> CasesJson();
  // Case of docs/wire.md, now or in the past.
  Result<std::string> CaseJsonOf(const std::string& case_id, std::optional<CasePicture::Past> past);
  // Facts of a case (none if empty) with `patch` over them; an Unknown in the patch takes a fact away.
  Result<StandingCase> Standing(const std::string& case_id, const Facts& patch);
  // What `plan` makes of the state is written before anybody else writes: of two recorders at once the second sees the
  // first one's entry. Nothing is written where it gives nothing; its error is passed on.
  using Plan = std::function<Result<std::vector<IncomingEntry>>(const State& state)>;
  Result<std::vector<Receipt>> AppendPlanned(const std::string& case_id, const Plan& plan);
  // The last seq of a case that a board rests on: what the screens said at an entry is none.
  Result<std::int64_t> BoardSeqOf(const std::string& case_id);
  // A copy of a case's state, now or in the past.
  Result<State> StateOf(const std::string& case_id, std::optional<CasePicture::Past> past);
  // Assessment of a case's facts (none if empty) with `patch` over them; an Unknown in the patch takes a fact away.
  Result<std::string> AssessJson(const std::string& case_id, const Facts& patch);
  // What the registry holds: every closed visit of every case. A case is derived again only after an entry of its own.
  Result<Registry> RegistryNow();
  // Packages that the journals of all cases say were opened. A case is read again only after an entry of its own.
  Result<std::vector<RecordedUse>> KitUsesNow();
  // The last seq of a case and the entries after `after`, for followers that resume.
  Result<std::vector<Appended>> After(const std::string& case_id, std::int64_t after);

  // --- The lab's journal; its entries are appended under kLabCase.
  // What the lab knows now, or what it knew then.
  Result<std::shared_ptr<const Knowledge>> Lab(std::optional<Instant> known = std::nullopt);
  // Lab of docs/wire.md; with a name that text alone.
  Result<std::string> LabJson(std::string_view name, std::optional<Instant> known);

  // A run joins the case as an entry of kind `image`, labelled "run N"; again, if it has joined before.
  Result<Receipt> AddImage(const std::string& case_id, const Run& run, const std::string& device);

  // A file's bytes, taken in and joined to a case. Takes seconds.
  Status TakeFile(const std::string& case_id, std::span<const std::uint8_t> file, const std::string& device);

  // --- Images, without that lock: a run may have to be decoded again, which takes seconds.
  struct Image {
    Run run;
    std::string json;  // the object Image of docs/wire.md
  };
  // Errors: what ImageStore::Find says.
  Result<std::shared_ptr<const Image>> ImageOf(const std::string& hash);
  std::shared_ptr<const Image> Remember(Run run);

 private:
  struct Held {
    State state;
    std::string json;       // of the case now, without its time; empty: to be made
    std::string summary;    // one line
    std::int64_t board_seq = 0;  // of the last entry that is not what the screens said
    std::optional<Instant> worked;  // a person wrote then, and the visit has not ended since: it is open in its room
    std::optional<CaseVisits> visits;  // as the registry takes them; absent: to be derived
    std::optional<std::vector<RecordedUse>> uses;  // of kit; absent: to be read
  };
  Practice() = default;
  Result<Held*> Find(const std::string& case_id);
  Status CatchUp(const std::string& case_id, Held& held);
  Result<std::vector<Receipt>> Write(const std::string& case_id, Held& held, std::span<const IncomingEntry> entries);
  Status KeepShown(const std::string& case_id, Held& held, const std::string& id);
  void KeepMissed(const std::string& case_id, const Held& held);
  Status WriteShown(const std::string& case_id, Held& held, const Entry& entry, Shown shown);
  Result<Shown> ShownAt(const State& state, const Entry& entry);
  Result<std::shared_ptr<const Knowledge>> LabHeld();  // under the lock
  std::map<std::string, std::string> ImagesOf(const std::vector<std::string>& hashes);

  std::mutex mutex_;
  std::unique_ptr<Journal> journal_;
  std::unique_ptr<ImageStore> images_;
  std::unique_ptr<MarksStore> marks_;
  std::function<void(const Appended&)> told_;
  std::map<std::string, Held> cases_;             // guarded by mutex_
  std::shared_ptr<const Knowledge> lab_;          // guarded by mutex_; older than the lab's journal: to be made
  std::mutex image_mutex_;
  std::map<std::string, std::shared_ptr<const Image>> held_images_;  // guarded by image_mutex_
  bool keeps_missed_ = false;
  Afterwards afterwards_;  // last: it ends before what it writes to
};

// {"entries": [{id, seq, recorded, hash, again}]}.
std::string ReceiptsJson(std::span<const Receipt> receipts);

// Knowledge is written in the lab's journal, and there only knowledge, notes and withdrawals are.
Status FitsChain(std::string_view case_id, std::span<const IncomingEntry> entries);

}  // namespace fairlead
