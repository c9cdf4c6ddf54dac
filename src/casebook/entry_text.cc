// SPDX-License-Identifier: Apache-2.0
#include "casebook/entry_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "casebook/entry_json.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {

std::string Digits(double value) {
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return {text, end};
}

// "43.4 ± 5.5": the spread to two significant digits, the value to the same place; more digits would claim too much.
std::string WithSpread(double value, double sd) {
  const double place = sd > 0.0 ? std::clamp(1.0 - std::floor(std::log10(sd)), 0.0, 9.0) : 9.0;
  const double scale = std::pow(10.0, place);
  const auto rounded = [scale](double x) { return Digits(std::round(x * scale) / scale); };
  return rounded(value) + " ± " + rounded(sd);
}

std::string Percent(double share) { return Digits(std::round(share * 100.0)) + " %"; }

std::string WithUnit(std::string text, const FactRow& row) {
  if (!row.unit.empty()) text.append(1, ' ').append(row.unit);
  return text;
}

struct Telling {
  const FactRow& row;
  std::string operator()(const Unknown&) const { return "unknown"; }
  std::string operator()(const Unseen&) const { return "unseen"; }
  std::string operator()(const NotDeterminable&) const { return "not determinable"; }
  std::string operator()(const FlagOdds& odds) const {
    if (odds.yes >= 1.0) return "yes";
    return odds.yes <= 0.0 ? "no" : Percent(odds.yes) + " yes";
  }
  std::string operator()(const GradeOdds& grades) const {
    if (grades.odds.size() == 1) return grades.odds.front().first;
    std::string text;
    for (const auto& [grade, odds] : grades.odds) text += (text.empty() ? "" : ", ") + grade + " " + Percent(odds);
    return text;
  }
  std::string operator()(const Number& number) const {
    if (number.sd) return WithUnit(WithSpread(number.value, *number.sd), row);
    const std::string text = WithUnit(Digits(number.value), row);
    return row.type == FactType::kCount ? text : text + ", spread not stated";
  }
  std::string operator()(const Numbers& numbers) const {
    std::string text;
    for (const Number& number : numbers.values)
      text += (text.empty() ? "" : "; ") + (number.sd ? WithSpread(number.value, *number.sd) : Digits(number.value));
    return text.empty() ? "none" : WithUnit(text, row);
  }
};

struct EntryTelling {
  std::string operator()(const CaseOpened& opened) const {
    return "case: " + opened.title + (opened.invented ? " (invented)" : "");
  }
  std::string operator()(const FactStated& fact) const {
    const FactRow* row = FindFact(fact.key.name);
    std::string text = row == nullptr ? fact.key.name : std::string(row->label);
    if (!fact.key.of.empty()) text += " of " + fact.key.of;
    if (row != nullptr) text += ": " + BeliefText(*row, fact.belief);
    return text + " (" + std::string(MarkName(fact.mark)) + ")";
  }
  std::string operator()(const ImageAdded& image) const { return "image: " + image.label; }
  std::string operator()(const PixelSizeSet& set) const {
    return "calibration: " + WithSpread(set.mm_per_px, set.sd_mm_per_px) + " mm a pixel (" + set.method + ")";
  }
  std::string operator()(const NoteWritten& note) const { return "note: " + note.text; }
  std::string operator()(const Withdrawn& withdrawn) const { return "withdrawn: " + withdrawn.reason; }
  std::string operator()(const Shown& shown) const { return "shown at " + shown.at_step; }
  std::string operator()(const KnowledgeWritten& written) const {
    return "knowledge: " + written.name + ", version " + written.version + " (" + written.owner + ")";
  }
  std::string operator()(const RunEvent& event) const { return RunText(event); }
  std::string operator()(const DoseGiven& dose) const {
    return "dose: " + dose.label + (dose.earlier ? ", of an earlier procedure" : "") + ", " + Digits(dose.air_kerma_gy) + " Gy";
  }
  std::string operator()(const StruckOut&) const { return "struck out"; }
  std::string operator()(const NotUnderstood& other) const { return "not understood: " + other.why; }
};

}  // namespace

std::string BeliefText(const FactRow& row, const Belief& belief) { return std::visit(Telling{row}, belief); }

std::string EntryText(const Entry& entry) { return std::visit(EntryTelling{}, entry.data); }

}  // namespace fairlead
