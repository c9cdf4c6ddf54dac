// SPDX-License-Identifier: Apache-2.0
// Trouble drills. Short lists in the order of thought; local protocol decides. Facts of perforation, drain, donor vessel and
// entrapment: a textbook of coronary perforation ("perforation-textbook"_source), a position statement on tamponade in the
// catheter laboratory ("tamponade-statement"_source), registries of donor injury ("donor-2023"_source) and entrapment
// ("entrapment-2024"_source); arrest and anaphylaxis as guidelines teach ("resuscitation-2021"_source), from memory; the
// rest practice.
#include <array>
#include <algorithm>

#include "measure/source.h"
#include "reasoning/caution/gate.h"

namespace fairlead {
namespace {

constexpr auto kWireHole = std::to_array<DrillStep>({
    {"stop", "stop; wire back, no catheter over it", 1},
    {"echo", "echo", 10},
    {"watch", "watch 10-15 min, inject again", 15},
    {"heparin", "no more heparin", {}},
});
constexpr auto kCavityHole = std::to_array<DrillStep>({
    {"leave", "keep the wire; often no tamponade", 1},
    {"echo", "echo", 10},
    {"watch", "watch pressure and the size of the jet", 15},
    {"covered", "covered stent or coils if it is large", {}},
});
constexpr auto kMainHole = std::to_array<DrillStep>({
    {"balloon", "balloon 0.9-1.0 of the artery at or above the hole, 2-6 atm", 1},
    {"help", "call: second operator, echo, surgeon", 2},
    {"echo", "echo", 10},
    {"pressure", "pressure every 2 min", {}},
    {"check", "deflate and look", 15},
    {"covered", "covered stent, through a second guide while the balloon holds", {}},
    {"drain", "drain if tamponade", {}},
});
constexpr auto kDistalHole = std::to_array<DrillStep>({
    {"block", "balloon or microcatheter wedged upstream", 1},
    {"echo", "echo", 10},
    {"plug", "fat, coil, thrombin or gel through the microcatheter", {}},
    {"look", "look again from both sides", {}},
    {"ward", "echo over 24 h", {}},
});
constexpr auto kSeptalHole = std::to_array<DrillStep>({
    {"leave", "leave the wire, watch: usually harmless", 1},
    {"echo", "echo: septal haematoma?", 10},
    {"rhythm", "rhythm: block?", {}},
    {"plug", "coil or fat if it grows", {}},
});
constexpr auto kEpicardialHole = std::to_array<DrillStep>({
    {"hold", "microcatheter stays; suction or a low-pressure balloon in its place", 1},
    {"help", "call: echo, surgeon", 2},
    {"echo", "echo", 10},
    {"both", "plan for both sides: close antegrade and retrograde", {}},
    {"drain", "drain if tamponade", {}},
});
constexpr auto kGraftHole = std::to_array<DrillStep>({
    {"balloon", "balloon at or above the hole", 1},
    {"echo", "echo; if it shows nothing and pressure is low: CT or transoesophageal", 10},
    {"surgeon", "surgeon: the effusion may be loculated", 5},
    {"seal", "seal the source always", {}},
});
constexpr auto kTamponade = std::to_array<DrillStep>({
    {"echo", "echo now", 2},
    {"source", "hold the source: balloon up", 1},
    {"drain", "drain, echo or X-ray guided; pigtail left", 10},
    {"surgeon", "surgeon told", 15},
    {"fluids", "fluids, pressors", {}},
    {"blood", "blood: autotransfusion if it is set up", {}},
    {"again", "echo after draining", {}},
});
constexpr auto kDonor = std::to_array<DrillStep>({
    {"stop", "stop; retrograde gear back over a wire that stays, when flow allows", 1},
    {"act", "ACT now", 2},
    {"wire", "wire the donor's true lumen", 5},
    {"stent", "stent a dissection; aspirate a clot", {}},
    {"support", "support if shock; surgeon", 10},
});
constexpr auto kStuckSteps = std::to_array<DrillStep>({
    {"stop", "stop pulling; note the length that is in", 1},
    {"cover", "microcatheter or extension to the lesion", {}},
    {"beside", "second wire, balloon 1.5-2.0 mm beside it", {}},
    {"snare", "snare, 6 F or more", {}},
    {"surgeon", "surgeon if a long part is outside", {}},
});
constexpr auto kHypotension = std::to_array<DrillStep>({
    {"guide", "guide damped? donor guide back first", 1},
    {"echo", "echo now: tamponade?", 3},
    {"donor", "donor vessel: one injection, ECG", 5},
    {"bleed", "access, retroperitoneum, haemoglobin", {}},
    {"drugs", "vagal, drugs, sedation", {}},
    {"channel", "catheter blocks a collateral?", {}},
    {"rhythm", "rhythm, lung, anaphylaxis", {}},
    {"aorta", "aortic dissection from a guide", {}},
});
constexpr auto kAnaphylaxis = std::to_array<DrillStep>({
    {"cause", "stop the cause; call", 1},
    {"adrenaline", "adrenaline by local protocol", 2},
    {"airway", "airway, oxygen", 2},
    {"fluids", "fluids fast", 5},
    {"second", "antihistamine, steroid after", {}},
    {"tryptase", "tryptase, allergy on file", {}},
});
constexpr auto kArrest = std::to_array<DrillStep>({
    {"compress", "compressions; table down; pads on", 1},
    {"shock", "shock if VF or VT", 2},
    {"adrenaline", "adrenaline, amiodarone by local protocol", 5},
    {"cause", "cause: donor vessel, tamponade, air, drug", 5},
    {"support", "support: who decides, is it in the room", 10},
});
constexpr auto kStroke = std::to_array<DrillStep>({
    {"time", "time last well; stroke team", 5},
    {"gear", "gear out; ACT", {}},
    {"airway", "airway, glucose, pressure", {}},
    {"scan", "CT with vessels", 20},
});
constexpr auto kBleed = std::to_array<DrillStep>({
    {"press", "press; sheath size up or balloon across", 1},
    {"pressure", "pressure, fluids, cross-match", 5},
    {"heparin", "reverse? gear out first", {}},
    {"image", "angiogram or CT of the access", {}},
    {"surgeon", "covered stent or surgeon", {}},
});
constexpr auto kAorticDissection = std::to_array<DrillStep>({
    {"stop", "stop injecting; guide away", 1},
    {"echo", "echo: effusion, valve", 5},
    {"entry", "ostium covered by a stent if it fed from there", {}},
    {"pressure", "pressure down, pain", {}},
    {"surgeon", "CT; surgeon", 15},
});

constexpr auto kDrills = std::to_array<Drill>({
    {"perforation", "", "Perforation: site not said", "no, before the hole is closed and gear is out", "drain-set covered-stents coils", kWireHole, "P"},
    {"perforation", "wire", "Perforation of the main vessel, by a wire only", "no", "drain-set", kWireHole, "P"},
    {"perforation", "cavity", "Perforation into a chamber of the heart", "no", "covered-stents coils", kCavityHole, "P, C"},
    {"perforation", "main", "Perforation of the main vessel", "after the decision on gear", "covered-stents second-guide extension occlusion-balloon drain-set", kMainHole, "P, C"},
    {"perforation", "distal", "Perforation by a wire, distal", "after it is sealed", "coils microcatheter drain-set", kDistalHole, "P, C"},
    {"perforation", "septal", "Perforation of a septal channel", "seldom", "coils microcatheter", kSeptalHole, "P, C"},
    {"perforation", "epicardial", "Perforation of an epicardial channel", "after both sides are sealed", "coils microcatheter drain-set", kEpicardialHole, "P, C"},
    {"perforation", "graft", "Perforation after bypass surgery", "case by case", "covered-stents coils drain-set", kGraftHole, "P, C"},
    {"tamponade", "", "Tamponade", "consider, check the ACT", "drain-set", kTamponade, "G"},
    {"donor", "", "Donor vessel: dissection or clot", "no", "", kDonor, "R, P"},
    {"stuck", "", "Something stuck", "no", "snare microcatheter extension occlusion-balloon", kStuckSteps, "R, P"},
    {"hypotension", "", "Pressure falls", "only with a cause", "drain-set", kHypotension, "P"},
    {"anaphylaxis", "", "Anaphylaxis", "no", "", kAnaphylaxis, "G, from memory"},
    {"arrest", "", "Arrest", "only with a cause", "", kArrest, "G, from memory"},
    {"stroke", "", "Stroke", "with the stroke team", "", kStroke, "G, from memory"},
    {"bleed", "", "Bleed at the access", "gear out first", "", kBleed, "P"},
    {"dissection", "", "Aortic dissection", "with the surgeon", "", kAorticDissection, "P"},
});

}  // namespace

std::span<const Drill> Drills() { return kDrills; }

const Drill* DrillOf(std::string_view kind, std::string_view site, std::string_view grade, std::string_view cause) {
  if (grade == "cavity") site = "cavity";
  else if (site == "main" && cause == "wire" && grade != "III") site = "wire";
  const Drill* general = nullptr;
  for (const Drill& drill : kDrills) {
    if (drill.kind != kind) continue;
    if (drill.site == site) return &drill;
    if (drill.site.empty()) general = &drill;
  }
  return general;
}

}  // namespace fairlead
