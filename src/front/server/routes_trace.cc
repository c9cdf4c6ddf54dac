// SPDX-License-Identifier: Apache-2.0
// Tracing vessels: the tree of cheapest paths that a click grows, and the whole trace.
#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>

#include "front/server/answer.h"
#include "front/server/body_trace.h"
#include "front/server/dark_frame.h"
#include "front/server/routes.h"
#include "front/server/trace_json.h"
#include "imaging/trace/turning_path.h"

namespace fairlead {
namespace {

// What is larger would hold a worker for a second; no angiogram is.
constexpr std::size_t kMostPixels = std::size_t{4} << 20;

Response NoImage(const Error& error) { return Refusal(error.fault == Fault::kOutside ? 503 : 404, error); }

// One frame, bright where much is absorbed.
Result<Picture> PictureOf(App& app, const Run& run, int frame) {
  if (Status good = CheckMeasurable(run, frame); !good) return good.error();
  if (static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.columns) > kMostPixels) {
    return Error{"this picture is too large to trace on", "", "choose an angiogram of at most 2048 x 2048 pixels"};
  }
  auto view = app.practice.images().Frames(run.hash, frame, frame);
  if (!view.ok()) return view.error();
  const DarkFrame dark(run, view->bytes);
  return AbsorptionOf(dark.grey(), InsideOf(run));
}

void PutWhole(std::string& bytes, int value) {
  for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>(static_cast<unsigned>(value) >> shift & 0xffU));
}

// With `turns` the tree that prices corners: columns, rows, column and row of the root, then left, top, columns and rows of
// its window; four bytes a pixel of the window, then eight (TurningTree). Without: columns, rows, column and row of the root;
// one byte a pixel. All numbers of 32 bits, little-endian.
Response WriteTree(const Vesselness& vesselness, Pixel root, bool turns) {
  Response response;
  response.type = "application/octet-stream";
  if (!turns) {
    const PathTree tree = CheapestPaths(CostOf(vesselness), root);
    for (const int each : {tree.columns, tree.rows, tree.root.column, tree.root.row}) PutWhole(response.text, each);
    response.text.append(reinterpret_cast<const char*>(tree.towards_root.data()), tree.towards_root.size());
    return response;
  }
  const TurningTree tree = CheapestTurns(CostOf(vesselness), root);
  for (const int each : {vesselness.columns, vesselness.rows, root.column, root.row, tree.left, tree.top, tree.columns, tree.rows}) PutWhole(response.text, each);
  response.text.reserve(32 + 12 * tree.back.size());
  for (const std::uint32_t back : tree.back) PutWhole(response.text, static_cast<int>(back));
  response.text.append(reinterpret_cast<const char*>(tree.dearer.data()), tree.dearer.size());
  return response;
}

Response GrowTree(App& app, Asked& asked) {
  auto body = ParseTreeBody(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto image = app.practice.ImageOf(body->image);
  if (!image.ok()) return NoImage(image.error());
  auto picture = PictureOf(app, (*image)->run, body->frame);
  if (!picture.ok()) return Refusal(picture.error());
  if (body->from.x < -0.5 || body->from.y < -0.5 || body->from.x > picture->columns - 0.5 || body->from.y > picture->rows - 0.5) {
    return Refusal(Error{"the point lies outside the picture", "from", "click inside the picture"});
  }
  const Vesselness vesselness = VesselnessOf(*picture);
  return WriteTree(vesselness, SnapToRidge(vesselness, body->from), body->turns);
}

Response TraceAnswer(App& app, Asked& asked) {
  auto body = ParseTrace(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto image = app.practice.ImageOf(body->image);
  if (!image.ok()) return NoImage(image.error());
  auto picture = PictureOf(app, (*image)->run, body->frame);
  if (!picture.ok()) return Refusal(picture.error());
  const auto trace = TraceVessel(*picture, VesselnessOf(*picture), body->request);
  if (!trace.ok()) return Refusal(trace.error());
  return Json(TraceJson(*trace, body->image, body->frame));
}

constexpr std::array<Route, 2> kRoutes = {{
    {.method = "POST", .path = "/api/measure/tree", .body = Route::Body::kJson, .needs = Role::kReader, .answer = GrowTree},
    {.method = "POST", .path = "/api/measure/trace", .body = Route::Body::kJson, .needs = Role::kReader, .answer = TraceAnswer},
}};

}  // namespace

std::span<const Route> TraceRoutes() { return kRoutes; }

}  // namespace fairlead
