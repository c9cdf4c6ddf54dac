// SPDX-License-Identifier: Apache-2.0
// Do devices pass side by side through a lumen, in which order, and by how much? What decides is the worst pairing of
// sections that can occur while one device moves and the others are parked with their working element beyond the host;
// shafts decide more often than balloons.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "reasoning/kit/device.h"
#include "reasoning/kit/packing.h"
#include "reasoning/kit/size.h"

namespace fairlead {

enum class FitClass { kFits, kTight, kNo, kUnknown };
std::string_view WordOf(FitClass fit);  // "fits", "tight", "no", "unknown"

struct FitRules {
  Length clearance = Length::Millimetres(0.10);       // from here on it fits: margin built into burr labels, from memory
  Length clearance_inside = Length::Millimetres(0.05);// wire or coil in a microcatheter. practice, no source
  Length loose_wire = Length::Inches(0.014);          // beside a shaft whose wire has left it
  double withdrawn = 1.2;                             // folded profile after inflation. practice, no source
};

// Margins are compared as they are shown: rounded to a thousandth of a micrometre.
FitClass ClassOf(Length margin, Length clearance);

// A stretch of a device: one or more circles in the host's cross-section.
struct Section {
  std::string name;              // "shaft", "balloon", "shaft and loose wire"
  std::vector<Length> circles;
  Length short_axis{};           // of an oval whose long axis is circles[0]; 0: round
  bool working = false;          // beyond the host once the device is parked
};
// Tip first. Empty: the sizes needed are not known.
std::vector<Section> SectionsOf(const Device& device, const FitRules& rules);

struct Host {
  std::string name;
  Length lumen;
  Length rounding = Length::Millimetres(0.005);
  bool microcatheter = false;    // the smaller clearance holds inside
  std::string remark{};          // on how its lumen was given
};

// One device and the section of it that took part in the worst pairing.
struct Paired {
  std::size_t device = 0;        // index in the order asked
  std::string section;
  bool moving = false;
};

// What the labels' last digits leave open: each true size lies anywhere within its rounding.
struct FitDoubt {
  Length worst, best;            // margins with every size at its unkind / kind end
  double odds_passes = 1.0;      // margin of at least 0
  double odds_fits = 1.0;        // margin of at least the clearance
  bool sensitive = false;        // the class changes inside the rounding
};

struct FitAnswer {
  FitClass fit = FitClass::kUnknown;
  Length margin;                 // host lumen less the least lumen that holds the worst pairing
  Length smallest;               // that least lumen
  Length proved;                 // no smaller one holds it; below `smallest` only where the search stayed open
  bool too_close = false;        // neither a placement nor a proof: shown as tight
  std::optional<Length> margin_turned;  // with an oval turned kindly, if that differs
  std::optional<Length> margin_out;     // on the way out, a balloon that was inflated being wider; if that differs
  std::vector<Paired> worst;
  std::vector<Place> places;     // of the worst pairing, inside `smallest`
  FitDoubt doubt;
  std::vector<std::string> off_label;   // label demands a wider host than this
  std::vector<std::string> why;         // of an unknown, and remarks
};

enum class FitMode { kInOrder, kTogether };  // together: all working elements at one place

// The devices go in one after the other.
FitAnswer Fit(const Host& host, const std::vector<Device>& devices, FitMode mode = FitMode::kInOrder,
              const FitRules& rules = {});

// Bare circles: no order, no sections.
FitAnswer FitCircles(const Host& host, const std::vector<PrintedSize>& circles, const FitRules& rules = {});

struct OrderedFit {
  std::vector<std::size_t> order;  // indices of the devices, first in first
  FitAnswer answer;
};

struct ChainFit {
  Host host;
  std::vector<OrderedFit> orders;  // best first; at most `kMostOrders` devices are permuted
  std::vector<std::string> names;  // of the devices in this host
};

inline constexpr std::size_t kMostOrders = 5;

// Every order of the devices in one host, best first; equal margins in the order asked.
std::vector<OrderedFit> FitOrders(const Host& host, const std::vector<Device>& devices, const FitRules& rules = {});

// A chain of lumens: each host in turn; a guide extension among the devices becomes a host for the others, and its
// pushrod lies beside them in the guide behind its collar.
std::vector<ChainFit> FitChain(const std::vector<Host>& hosts, const std::vector<Device>& devices, const FitRules& rules = {});

Host HostOf(const Device& device);  // its lumen, or the collar if that is narrower

// Best turned, an oval of axes M x m beside a round shaft d needs max(M, m + d + (M - m)^2 / 4d), for d >= (M - m) / 2;
// worst turned M + d.
Length OvalBeside(Length long_axis, Length short_axis, Length beside);

// The thickest rigid part of that length that passes a bend: sqrt((rho + D/2)^2 - s^2/4) - (rho - D/2).
Length ThickestInBend(Length lumen, Length bend_radius, Length rigid_length);

}  // namespace fairlead
