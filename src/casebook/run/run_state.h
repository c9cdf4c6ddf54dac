// SPDX-License-Identifier: Apache-2.0
// What the journal says of the visit to the lab: attempts, what is in the body, totals, blood, trouble. One entry after
// another is applied in the order in which things happened, so that an entry typed late falls in its place.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "casebook/fold.h"
#include "casebook/run_event.h"
#include "measure/instant.h"

namespace fairlead {

enum class Strategy { kAntegradeWiring, kAntegradeDissection, kRetrogradeWiring, kRetrogradeDissection };
std::string_view StrategyWord(Strategy strategy);  // "AW", "ADR", "RW", "RDR"
std::optional<Strategy> StrategyOf(std::string_view word);
bool IsRetrograde(Strategy strategy);

// A value with the moment it holds for and the entry that says it.
template <typename T>
struct At {
  T value{};
  Instant at;
  std::string entry;  // id
};

struct PhaseSpan {
  std::string phase;  // "" before the first is named
  Instant start;
  std::optional<Instant> end;
};

enum class AttemptEnd { kOpen, kCrossed, kSwitched, kStopped };

struct RunAttempt {
  Strategy strategy{};
  std::string channel, channel_kind;  // "c1", "septal"; empty if not said
  Instant start;
  std::optional<Instant> end;
  AttemptEnd ended = AttemptEnd::kOpen;
  std::string reason;                 // of a switch or stop; "crossed" needs none
  std::string entry, end_entry;       // ids; the second empty while it is open
  std::vector<PhaseSpan> phases;      // never empty; the last is the present one
  Instant last_progress;              // start, or the last milestone, wire position or crossing within it
};

enum class DeviceKind { kSheath, kGuide, kExtension, kWire, kMicrocatheter, kUltrasound, kSnare, kBalloon };
std::string_view DeviceWord(DeviceKind kind);

struct WirePlace {
  std::string space;  // "true", "intraplaque", "extraplaque", "branch", "outside", "unknown"
  std::string proof;  // "views", "ultrasound", "none"; empty if not said
  std::string segment;
  Instant at;
};

struct RunDevice {
  DeviceKind kind{};
  std::string tag;                  // "w3", "m1"; empty for what the log does not number
  RunSide side = RunSide::kNone;
  std::optional<double> length_cm, size_f, tip_g, depth_cm, diameter_mm;
  std::string wire_class, lumens;   // "polymer"; "dual"
  std::string kit;                  // the lab's nickname
  std::string site, body_side;      // of a sheath
  std::string segment;
  Instant since;
  std::optional<Instant> out;
  std::optional<WirePlace> place;   // of a wire
  bool externalised = false, in_aorta = false;
  std::string entry;
};

struct HeparinDose {
  double units = 0.0;       // or per hour, of a drip
  std::string route;        // "bolus", "drip", "flush", "earlier"
};
struct ActReading {
  double seconds = 0.0;
  bool off_scale = false;   // above what the analyser reads
  std::string analyser;     // "H", "L"; empty: the room's
};
struct BloodPressure {
  double systolic = 0.0;
  std::optional<double> diastolic;
};
struct Echo {
  std::string finding;      // "none", "trivial", "effusion"
  std::optional<double> effusion_mm;
  bool loculated = false;
};
struct Trouble {
  std::string kind;                 // "perforation", "tamponade", "donor", "stuck", "hypotension", ...
  std::string grade, site, cause;   // as far as said
  std::optional<Strategy> active;   // the technique in use at that moment
  std::vector<std::string> in_body; // tags and kinds then in the body
  Instant at;
  std::optional<Instant> over;
  std::string entry;
};
struct BalloonUse {
  RunEvent event;
  bool cutting = false;
};
struct Tick {
  std::string state;  // "done", "not", "na"
  std::string why;
};

// A console counts from zero in each examination; the session's sum goes on.
struct Console {
  std::vector<At<double>> sums;   // over examinations, after each entry
  double before = 0.0;            // sum of the examinations that are over
  double last = 0.0;              // what the console said last
  bool fell = false;              // it went back without a new examination being named
};

// One visit. Budgets are of the session; what earlier ones used stands in `earlier`.
struct RunSession {
  Instant start;
  std::optional<Instant> end;
  std::optional<Instant> access;    // first puncture: procedure start
  std::optional<Instant> timeout;
  std::optional<double> plan;       // version frozen at time-out
  std::string entry;                // that opened it
};

// Contrast and kerma of earlier visits: stated, or of this journal's own earlier sessions.
struct EarlierUse {
  Instant at;
  double contrast_ml = 0.0, air_kerma_gy = 0.0;
  std::string entry;
};

struct RunState {
  std::vector<RunSession> sessions;
  std::vector<RunAttempt> attempts;              // of the present session; at most one open, the last
  std::vector<RunDevice> devices;                // of the present session, in and out
  std::vector<At<double>> contrast;           // running total after each entry, mL
  std::optional<At<double>> contrast_fell;    // a stated total was below the one before: the one before
  std::optional<double> iodine_mg_ml;
  Console air_kerma;                          // Gy
  Console kerma_area;                         // Gy·cm²
  Console fluoro;                             // minutes
  std::vector<At<HeparinDose>> heparin;
  std::vector<At<ActReading>> acts;           // `at` is the time of the sample
  std::optional<At<double>> act_sent;         // the last sample sent; see AwaitedSample
  std::vector<At<double>> protamine;          // mg
  std::vector<At<RunEvent>> drugs, fluids, labs;
  std::vector<At<BloodPressure>> pressures;
  std::vector<At<double>> heart_rates;
  std::vector<At<double>> saturations;  // percent
  std::optional<At<std::string>> rhythm, st;
  std::optional<At<double>> pain;
  std::map<RunSide, At<bool>> damped;            // of the guide on that side
  std::optional<At<std::string>> donor;
  std::vector<At<Echo>> echoes;
  std::vector<Trouble> troubles;
  std::map<std::string, std::string> channels;        // c1 -> kind, as far as said
  std::vector<At<RunEvent>> channel_events;           // collateral, crossed collateral
  std::vector<At<RunEvent>> joins, views, injections, knuckles, reentries, snares, externalisations, tip_ins, aortas, debulks, plugs;
  std::vector<At<RunEvent>> pullbacks;                // ultrasound
  std::vector<At<RunEvent>> vessel_sizes;             // EEM
  std::vector<At<BalloonUse>> balloons;
  std::vector<At<RunEvent>> stents, covered_stents;
  std::optional<At<std::string>> crossed_lesion, distal_proven;  // by what
  std::vector<At<double>> drains;             // mL; 0 if not said
  std::optional<Instant> resuscitation;       // begun and not over
  std::vector<At<std::string>> calls, decisions, closures;
  std::vector<At<RunEvent>> rated_ways;       // `decide closed ADR`, `decide open ADR`: no stop-or-go decision
  std::map<std::pair<std::string, std::string>, At<Tick>> ticks;  // gate, item
  std::map<std::string, At<std::string>> accepted;    // rule -> why; the last
  std::map<std::string, At<double>> flows;    // by branch; "" is the vessel
  std::map<std::string, At<std::string>> branches;    // name -> preserved, narrowed, lost
  std::optional<At<double>> residual;
  std::optional<At<RunEvent>> result;
  std::vector<At<RunEvent>> follow_ups;
  std::vector<EarlierUse> earlier;
  std::optional<Instant> pause;               // a break that is not over
  std::vector<std::pair<Instant, Instant>> breaks;  // of the present session, that are over: from, to
  std::string last_entry;                     // id of the last applied
  Instant last_at;
};

// One visit after another: entries of the next one move what this one used to `earlier`.
// `entry.data` is a RunEvent; `entry.at` is not before the last one's.
void Apply(RunState& run, const Entry& entry);
// All of `state.run`, or those that happened up to `until`.
RunState RunOf(const State& state, std::optional<Instant> until = std::nullopt);

// --- Reading it. Null or empty where there is none.
const RunSession* PresentSession(const RunState& run);
const RunAttempt* ActiveAttempt(const RunState& run);
bool RetrogradeActive(const RunState& run);               // an open retrograde attempt, or its microcatheter in the body
std::vector<const RunDevice*> InBody(const RunState& run);   // by kind and side
std::vector<const RunDevice*> InBody(const RunState& run, DeviceKind kind, RunSide side = RunSide::kNone);
bool GearInCoronary(const RunState& run);                 // a wire, microcatheter, ultrasound catheter or extension
const Trouble* OpenTrouble(const RunState& run, std::string_view kind);
std::string NextTag(const RunState& run, DeviceKind kind);  // "w4"; empty for what is not numbered
std::optional<double> HeparinUnits(const RunState& run);    // boluses and flushes of the session; none if none given
std::optional<Instant> AwaitedSample(const RunState& run);  // sent, and no reading of it yet
std::string_view TagLetter(DeviceKind kind);                // "w"; empty for what is not numbered
// The device that a tag, or else kind and side, names: the last that came in. Null if none is in.
const RunDevice* FindInBody(const RunState& run, DeviceKind kind, RunSide side, std::string_view tag);
bool RatesAWay(const RunEvent& decision);                   // closed, or open again
std::string_view FirstPhase(Strategy strategy);             // "cap", "entry", "channel"
bool Over(const RunState& run);                             // the session has ended
double WorkedMinutes(const RunState& run, Instant from, Instant to);  // without the breaks between

}  // namespace fairlead
