// SPDX-License-Identifier: Apache-2.0
// views project, views short.
#include <fmt/core.h>

#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "geometry/foreshortening.h"
#include "geometry/gantry.h"
#include "geometry/view.h"

namespace fairlead {
namespace {

Error Wrong(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kUsage};
}

Result<Vec3> ParsePoint(std::string_view text) {
  std::array<double, 3> values{};
  std::string_view rest = text;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t cut = i < 2 ? rest.find(',') : rest.size();
    std::string_view piece = rest.substr(0, cut);
    while (piece.starts_with(' ') || piece.starts_with('+')) piece.remove_prefix(1);
    const auto [end, fault] = std::from_chars(piece.data(), piece.data() + piece.size(), values[i]);
    if (cut == std::string_view::npos || fault != std::errc{} || end != piece.data() + piece.size() || !std::isfinite(values[i])) {
      return Wrong("a point is not three numbers", std::string(text.substr(0, 40)), "write it as x,y,z in millimetres");
    }
    rest.remove_prefix(std::min(rest.size(), cut + 1));
  }
  return Vec3{values[0], values[1], values[2]};
}

// "512x512": columns, rows.
Result<std::array<int, 2>> ParseMatrix(std::string_view text) {
  std::array<int, 2> size{};
  const char* end = text.data() + text.size();
  const auto first = std::from_chars(text.data(), end, size[0]);
  if (first.ec == std::errc{} && first.ptr != end && (*first.ptr == 'x' || *first.ptr == 'X')) {
    const auto second = std::from_chars(first.ptr + 1, end, size[1]);
    if (second.ec == std::errc{} && second.ptr == end) return size;
  }
  return Wrong("the matrix is not COLUMNSxROWS", "--matrix " + std::string(text.substr(0, 40)), "write it as 512x512");
}

Result<View> ViewAsked(const ViewArguments& given) {
  auto angles = ParseGantry(given.view);
  if (!angles) {
    Error error = Within("--view", angles.error());
    error.fault = Fault::kUsage;
    return error;
  }
  auto matrix = ParseMatrix(given.matrix);
  if (!matrix) return matrix.error();
  View view;
  view.primary = angles->primary;
  view.secondary = angles->secondary;
  view.source_to_detector = Length::Millimetres(given.sid);
  view.source_to_isocentre = Length::Millimetres(given.sod);
  view.row_spacing = view.column_spacing = Length::Millimetres(given.spacing);
  view.columns = (*matrix)[0];
  view.rows = (*matrix)[1];
  if (Status good = CheckView(view); !good) {
    Error error = good.error();
    error.to_do = "check --view, --sid, --sod, --spacing and --matrix";
    error.fault = Fault::kUsage;
    return error;
  }
  return view;
}

}  // namespace

int ProjectPoints(const Arguments& arguments) {
  auto view = ViewAsked(arguments.views);
  if (!view) return Fail(view.error());
  JsonText json;
  json.Open('{').Key("points").Open('[');
  std::vector<std::vector<std::string>> rows = {{"point", "column", "row", "depth"}};
  for (const std::string& text : arguments.views.points) {
    auto point = ParsePoint(text);
    if (!point) return Fail(point.error());
    const double depth = DepthOf(*view, *point).millimetres();
    const auto at = Project(*view, *point);
    if (!at) {
      return Fail(Error{"the point lies less than 50 mm from the source or behind it, so it has no picture", text, "check its units and the view"});
    }
    json.Open('{').Member("col", at->column).Member("row", at->row).Member("depth_mm", depth).Close('}');
    rows.push_back({text, fmt::format("{:.2f}", at->column), fmt::format("{:.2f}", at->row), fmt::format("{:.1f} mm", depth)});
  }
  if (arguments.json) Print(json.Close(']').Close('}').Take());
  else Print(Table(rows));
  return 0;
}

int ShowShortening(const Arguments& arguments) {
  auto view = ViewAsked(arguments.views);
  if (!view) return Fail(view.error());
  auto from = ParsePoint(arguments.views.from);
  if (!from) return Fail(Within("--from", from.error()));
  auto to = ParsePoint(arguments.views.to);
  if (!to) return Fail(Within("--to", to.error()));
  if (*from == *to) return Fail(Error{"the segment has no length", "--from and --to", "give two different points"});
  const double along_beam = ForeshorteningAlongBeam(*view, *from, *to), along_ray = Foreshortening(*view, *from, *to);
  const double length = Norm(*to - *from);
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("foreshortening_pct", 100.0 * along_beam).Member("foreshortening_ray_pct", 100.0 * along_ray);
    json.Member("length_mm", length).Member("view", GantryText({view->primary, view->secondary}, 1)).Close('}');
    Print(json.Take());
  } else {
    Print(fmt::format("{}: {:.1f} % of {:.1f} mm is hidden ({:.1f} % by the ray through the segment's middle)",
                      GantryText({view->primary, view->secondary}), 100.0 * along_beam, length, 100.0 * along_ray));
  }
  return 0;
}

}  // namespace fairlead
