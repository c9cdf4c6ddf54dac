// SPDX-License-Identifier: Apache-2.0
#include "casebook/fact_pictures.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace fairlead {

std::vector<ViewOrigin> PicturesBehind(const FactOrigin& origin) {
  if (!origin.views.empty() || origin.image.empty()) return origin.views;
  ViewOrigin only;
  only.image = origin.image, only.frame = origin.frame, only.method = origin.method;
  if (!origin.points.empty()) only.marks.push_back({"", origin.points});
  return {std::move(only)};
}

std::vector<std::string> ImagesBehind(const FactOrigin& origin) {
  std::vector<std::string> images;
  if (!origin.image.empty()) images.push_back(origin.image);
  for (const ViewOrigin& view : origin.views)
    if (std::ranges::find(images, view.image) == images.end()) images.push_back(view.image);
  return images;
}

std::vector<NamedPlaces> PlacesIn(const FactOrigin& origin, std::string_view image, int frame) {
  std::vector<NamedPlaces> places;
  for (const ViewOrigin& view : PicturesBehind(origin)) {
    if (view.image != image || view.frame != frame) continue;
    std::ranges::copy_if(view.marks, std::back_inserter(places), [](const NamedPlaces& each) { return !each.points.empty(); });
  }
  return places;
}

}  // namespace fairlead
