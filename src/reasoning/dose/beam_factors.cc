// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/beam_factors.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace fairlead {
namespace {

constexpr std::array<double, 7> kSides{50, 75, 100, 125, 150, 200, 250};  // mm
constexpr std::array<double, 3> kAluminium{1.0, 1.5, 2.0};                // mm

struct Row {
  double kilovolts, copper, half_value;
  std::array<double, 7> backscatter;
  double medium;
  std::array<double, 3> table;
};
// "beam-monte-carlo"_source: half-value layer in mm of aluminium is for reading only.
constexpr auto kRows = std::to_array<Row>({
    {60, 0, 2.35, {1.230, 1.273, 1.299, 1.315, 1.326, 1.339, 1.345}, 1.015, {0.724, 0.627, 0.547}},
    {60, 0.1, 3.40, {1.266, 1.323, 1.360, 1.385, 1.401, 1.421, 1.431}, 1.017, {0.802, 0.723, 0.654}},
    {60, 0.3, 4.66, {1.293, 1.365, 1.414, 1.448, 1.472, 1.501, 1.515}, 1.020, {0.855, 0.792, 0.735}},
    {60, 0.6, 5.69, {1.307, 1.389, 1.446, 1.488, 1.517, 1.554, 1.574}, 1.024, {0.882, 0.829, 0.779}},
    {60, 0.9, 6.30, {1.311, 1.398, 1.460, 1.505, 1.538, 1.580, 1.602}, 1.027, {0.894, 0.845, 0.800}},
    {70, 0, 2.67, {1.241, 1.289, 1.320, 1.341, 1.355, 1.372, 1.380}, 1.017, {0.748, 0.657, 0.582}},
    {70, 0.1, 3.94, {1.274, 1.338, 1.381, 1.411, 1.432, 1.458, 1.471}, 1.020, {0.824, 0.752, 0.688}},
    {70, 0.3, 5.45, {1.298, 1.377, 1.433, 1.473, 1.501, 1.538, 1.558}, 1.026, {0.874, 0.818, 0.766}},
    {70, 0.6, 6.69, {1.306, 1.394, 1.458, 1.506, 1.540, 1.586, 1.612}, 1.032, {0.898, 0.852, 0.808}},
    {70, 0.9, 7.43, {1.307, 1.399, 1.467, 1.518, 1.557, 1.607, 1.636}, 1.037, {0.909, 0.867, 0.827}},
    {80, 0, 2.98, {1.247, 1.300, 1.334, 1.359, 1.375, 1.396, 1.407}, 1.020, {0.766, 0.680, 0.609}},
    {80, 0.1, 4.43, {1.278, 1.347, 1.394, 1.428, 1.453, 1.483, 1.500}, 1.025, {0.839, 0.773, 0.713}},
    {80, 0.3, 6.15, {1.296, 1.380, 1.439, 1.483, 1.515, 1.557, 1.582}, 1.032, {0.886, 0.835, 0.788}},
    {80, 0.6, 7.55, {1.301, 1.392, 1.459, 1.510, 1.548, 1.600, 1.630}, 1.040, {0.909, 0.867, 0.827}},
    {80, 0.9, 8.37, {1.299, 1.393, 1.464, 1.519, 1.560, 1.616, 1.650}, 1.045, {0.919, 0.881, 0.844}},
    {90, 0, 3.26, {1.250, 1.306, 1.344, 1.371, 1.390, 1.414, 1.427}, 1.023, {0.780, 0.699, 0.631}},
    {90, 0.1, 4.89, {1.279, 1.351, 1.401, 1.438, 1.465, 1.500, 1.519}, 1.029, {0.851, 0.789, 0.733}},
    {90, 0.3, 6.80, {1.292, 1.377, 1.439, 1.486, 1.521, 1.568, 1.595}, 1.038, {0.896, 0.849, 0.805}},
    {90, 0.6, 8.31, {1.293, 1.384, 1.453, 1.506, 1.546, 1.601, 1.635}, 1.046, {0.917, 0.878, 0.841}},
    {90, 0.9, 9.19, {1.289, 1.382, 1.453, 1.509, 1.552, 1.612, 1.648}, 1.052, {0.925, 0.890, 0.857}},
    {100, 0, 3.55, {1.252, 1.311, 1.352, 1.381, 1.402, 1.429, 1.444}, 1.026, {0.792, 0.715, 0.650}},
    {100, 0.1, 5.33, {1.277, 1.351, 1.404, 1.443, 1.472, 1.510, 1.532}, 1.033, {0.861, 0.802, 0.750}},
    {100, 0.3, 7.39, {1.287, 1.373, 1.436, 1.485, 1.522, 1.572, 1.601}, 1.043, {0.903, 0.859, 0.818}},
    {100, 0.6, 9.00, {1.284, 1.375, 1.444, 1.498, 1.539, 1.597, 1.633}, 1.053, {0.922, 0.886, 0.852}},
    {100, 0.9, 9.92, {1.278, 1.369, 1.440, 1.496, 1.540, 1.602, 1.640}, 1.059, {0.931, 0.898, 0.866}},
    {120, 0, 4.12, {1.252, 1.314, 1.358, 1.390, 1.414, 1.446, 1.464}, 1.032, {0.812, 0.741, 0.681}},
    {120, 0.3, 8.48, {1.273, 1.358, 1.422, 1.473, 1.511, 1.564, 1.598}, 1.052, {0.914, 0.875, 0.838}},
    {120, 0.9, 11.15, {1.258, 1.346, 1.414, 1.469, 1.513, 1.576, 1.616}, 1.069, {0.938, 0.908, 0.880}},
});

double Mix(double a, double b, double t) { return a + t * (b - a); }

// Where x lies among rising stops: the stop before it and the share of the way to the next; clamped at both ends.
struct Between {
  std::size_t low = 0;
  double share = 0.0;
};
template <std::size_t N>
Between Place(const std::array<double, N>& stops, double x) {
  std::size_t i = 0;
  while (i + 2 < N && x >= stops[i + 1]) ++i;
  return {i, std::clamp((x - stops[i]) / (stops[i + 1] - stops[i]), 0.0, 1.0)};
}

// Transmission falls exponentially with thickness: the logarithm is interpolated, from 0 mm (1) on.
double TableAt(const Row& row, double aluminium) {
  const auto log_at = [&](std::size_t i) { return std::log(row.table[i]); };
  if (aluminium <= kAluminium[0]) return std::exp(log_at(0) * aluminium / kAluminium[0]);
  const Between at = Place(kAluminium, std::min(aluminium, kAluminium.back()));
  const double inside = Mix(log_at(at.low), log_at(at.low + 1), at.share);
  return std::exp(inside * std::max(1.0, aluminium / kAluminium.back()));
}

BeamFactors FactorsOf(const Row& row, double aluminium) {
  BeamFactors factors{{}, row.medium, TableAt(row, aluminium)};
  factors.backscatter = row.backscatter;
  return factors;
}

BeamFactors Mixed(const BeamFactors& a, const BeamFactors& b, double t) {
  BeamFactors mixed{{}, Mix(a.medium, b.medium, t), Mix(a.table, b.table, t)};
  for (std::size_t i = 0; i < mixed.backscatter.size(); ++i) mixed.backscatter[i] = Mix(a.backscatter[i], b.backscatter[i], t);
  return mixed;
}

// The rows of one tube voltage, by copper.
BeamFactors AtVoltage(double kilovolts, double copper, double aluminium) {
  const auto from = std::ranges::find(kRows, kilovolts, &Row::kilovolts);
  auto to = from;
  while (to != kRows.end() && to->kilovolts == kilovolts) ++to;
  const std::span<const Row> rows(from, to);
  std::size_t i = 0;
  while (i + 2 < rows.size() && copper >= rows[i + 1].copper) ++i;
  const double share = std::clamp((copper - rows[i].copper) / (rows[i + 1].copper - rows[i].copper), 0.0, 1.0);
  return Mixed(FactorsOf(rows[i], aluminium), FactorsOf(rows[i + 1], aluminium), share);
}

}  // namespace

BeamFactors FactorsFor(double kilovolts, Length copper, Length table_aluminium) {
  constexpr std::array<double, 6> kVoltages{60, 70, 80, 90, 100, 120};
  const Between at = Place(kVoltages, kilovolts);
  const double cu = copper.millimetres(), al = std::max(0.0, table_aluminium.millimetres());
  return Mixed(AtVoltage(kVoltages[at.low], cu, al), AtVoltage(kVoltages[at.low + 1], cu, al), at.share);
}

BeamFactors UnknownFilterFactors() {
  BeamFactors factors{{}, 1.03, 0.80 / 1.10};  // with the forward scatter that the table adds, 0.80 in all
  factors.backscatter.fill(1.38);
  return factors;
}

double BackscatterAt(const BeamFactors& factors, double side_mm) {
  const Between at = Place(kSides, side_mm);
  return Mix(factors.backscatter[at.low], factors.backscatter[at.low + 1], at.share);
}

}  // namespace fairlead
