// SPDX-License-Identifier: Apache-2.0
// Is a device long enough? One coordinate runs from the operator's end of the haemostatic valve through the guide and
// along the vessels; what lies between sheath and hub outside the body does not count. Spreads are independent normals
// and add in quadrature.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "measure/quantity.h"
#include "measure/source.h"

namespace fairlead {

// A length along the route, or of a device.
struct Stretch {
  std::string name;
  Length length;
  Length sd;               // 0: exact as typed
  bool typical = false;    // a usual value, not this patient's
};

// What is usual where nobody measured.
struct TypicalStretch {
  std::string_view name;
  double cm, sd_cm;
  SourceId source;
};
std::span<const TypicalStretch> TypicalStretches();
const TypicalStretch* FindTypical(std::string_view name);
Stretch TypicalOf(const TypicalStretch& row);
Stretch TypicalValve();  // 9 +- 1 cm

// A length read from one projection is too short: times 1.15, and 5 % of doubt. practice, no source
Stretch FromOneView(Stretch projected);

struct DeviceRoute {
  Stretch valve = TypicalValve();
  Stretch guide;
  std::vector<Stretch> segments;   // from the guide's tip on; an occlusion is part of its vessel
  Length inside_other{};           // of the other guide, where the route ends in one
};

enum class ReachClass { kOk, kTight, kShort };
std::string_view WordOf(ReachClass reach);  // "ok", "tight", "short"

struct ReachRules {
  Length comfort = Length::Centimetres(3);   // hub free of the valve
  Length grip = Length::Centimetres(5);      // a hand on the wire
  Length tail = Length::Centimetres(10);     // of an externalised wire behind the retrograde hub
  Length gear_rapid = Length::Centimetres(40), gear_over = Length::Centimetres(140);  // wire outside the other valve
  Length parked = Length::Centimetres(-10), clear = Length::Centimetres(25);          // of the other guide's tip
  Length hub = Length::Centimetres(8);       // of the guide, outside the sheath
  Length overlap = Length::Centimetres(8);   // of an extension's tunnel inside its guide
};  // practice, no source, all of it

struct Spare {
  Length value, sd;
  ReachClass reach = ReachClass::kShort;
  double odds_reaches = 0.0;   // at least nothing to spare
  double odds_ok = 0.0;        // at least the comfort
};
Spare SpareOf(Length has, const Stretch& needs, const ReachRules& rules = {});

// Where the tip must stand: the whole route.
Stretch NeedOf(const DeviceRoute& route);

struct RouteDevice {
  std::string name;
  Length usable;
  Length beyond{};             // its tip goes that much further than the route's end
};
struct Laid {
  RouteDevice device;
  Stretch need;
  Spare spare;
};
struct ReachAnswer {
  Stretch need;
  std::vector<Laid> laid;      // in the order given
  std::size_t first = 0;       // the one that runs out first
};
ReachAnswer LayAlong(const DeviceRoute& route, const std::vector<RouteDevice>& devices, const ReachRules& rules = {});

// --- A wire brought out of the other guide.
struct Externalising {
  Length microcatheter;
  Stretch other_guide, other_valve = TypicalValve();
  bool over_the_wire = false;  // gear that goes over it, else rapid exchange
};
struct ExternalNeed {
  std::string_view stage;      // "parked", "at the guide's tip", "clear of the lesion"
  Length pulled_back;
  Stretch need;
};
std::vector<ExternalNeed> ExternalNeeds(const Externalising& ask, const ReachRules& rules = {});
struct ExternalWire {
  std::string name;
  Length length;
  std::vector<Spare> spare;    // by stage
  Length most_pull_back;       // of the microcatheter's tip from the other guide's tip; below 0: not even at the tip
  bool may_be_snared = false;  // long enough at the guide's tip: only such a wire is snared
};
ExternalWire BringOut(std::string name, Length wire, const Externalising& ask, const ReachRules& rules = {});

// --- A microcatheter taken off a wire that must stay.
struct Exchanging {
  Length wire, microcatheter, wire_at, microcatheter_at;  // lengths; coordinates of the two tips
  std::optional<Length> extension;                        // wire docked to the tail
  std::optional<Length> monorail;                         // of a rapid-exchange device instead
  Stretch valve = TypicalValve(), guide;
  Length trap = Length::Centimetres(2);                   // balloon's length
};
struct WayOut {
  std::string_view name;
  Length has, needs;
  bool works = false;
  std::string_view mind;       // what to look at
};
struct ExchangeAnswer {
  Length tail;                 // of the wire behind the hub
  Length longest_protrusion;   // of that wire beyond that microcatheter
  std::vector<WayOut> ways;    // as one would try them
};
ExchangeAnswer Exchange(const Exchanging& ask, const ReachRules& rules = {});

// --- Snare in the aorta, guide at the ostium, extension's depth.
enum class LoopClass { kCovers, kSmall, kNo };
std::string_view WordOf(LoopClass loop);
LoopClass LoopIn(Length largest_loop, Length vessel);
Spare SnareReaches(Length snare, const Stretch& valve, const Stretch& guide, const ReachRules& rules = {});
Spare GuideReaches(Length guide, const Stretch& access_to_ostium, const ReachRules& rules = {});
Length ExtensionSpare(Length tunnel, Length wanted, const ReachRules& rules = {});

}  // namespace fairlead
