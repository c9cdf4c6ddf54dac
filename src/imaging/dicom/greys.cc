// SPDX-License-Identifier: Apache-2.0
// Which grey values the file wants shown (DICOM PS3.3 C.11.2), where the shutter stands (C.7.6.11), palettes (C.7.6.3.1.5).
#include <algorithm>
#include <cmath>

#include "imaging/dicom/header.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr double kMostEntries = 65'536.0;

struct Table {
  double first = 0.0;
  std::vector<double> entries;
};

// A table of descriptor (entries, first value, bits) and data. Entries of 8 bits may be packed two to a word.
std::optional<Table> TableFrom(const Item& item, Tag descriptor_tag, Tag data_tag) {
  const std::vector<double> descriptor = NumbersOf(item, descriptor_tag);
  const Element* data = Find(item, data_tag);
  if (descriptor.size() != 3 || data == nullptr) return std::nullopt;
  const double count = descriptor[0] == 0.0 ? kMostEntries : descriptor[0];
  if (count < 1.0 || count > kMostEntries) return std::nullopt;
  const auto entries = static_cast<std::size_t>(count);
  Table table;
  table.first = descriptor[1];
  if (data->value.size() >= 2 * entries) {
    Item words;
    words.elements.push_back(*data);
    words.elements.front().vr = {'O', 'W'};
    table.entries = NumbersOf(words, data_tag);
    table.entries.resize(entries);
    return table;
  }
  if (descriptor[2] != 8.0 || data->value.size() < entries) return std::nullopt;
  for (std::size_t i = 0; i < entries; ++i) table.entries.push_back(data->value[i]);
  return table;
}

// The straight window nearest to a table: from where it leaves its darkest to where it reaches its brightest value.
std::optional<GreyWindow> WindowOf(const Table& table) {
  const double low = *std::ranges::min_element(table.entries);
  const double range = *std::ranges::max_element(table.entries) - low;
  if (!(range > 0.0)) return std::nullopt;
  const bool falling = table.entries.front() > table.entries.back();
  const auto level = [&](double share) {
    const double wanted = low + share * range;
    const auto reached = [&](double v) { return falling ? v <= wanted : v >= wanted; };
    return static_cast<double>(std::ranges::find_if(table.entries, reached) - table.entries.begin());
  };
  constexpr double kFoot = 0.01;
  const double from = falling ? level(1.0 - kFoot) : level(kFoot), to = falling ? level(kFoot) : level(1.0 - kFoot);
  if (!(to > from)) return std::nullopt;
  return GreyWindow{table.first + 0.5 * (from + to), to - from};
}

std::optional<GreyWindow> WindowIn(const Item& item) {
  const std::optional<double> center = NumberOf(item, tags::kWindowCenter), width = NumberOf(item, tags::kWindowWidth);
  if (!center || !width || !(*width >= 1.0)) return std::nullopt;
  return GreyWindow{*center, *width};
}

// Windows are stated after the rescale; XA and RF rescale to beam intensity, which is not for display.
void UndoRescale(const Item& dataset, Run& run) {
  if (run.kind != RunKind::kUltrasound && run.kind != RunKind::kSecondaryCapture) return;
  const double slope = NumberOf(dataset, tags::kRescaleSlope).value_or(1.0);
  if (!(slope > 0.0)) return;
  run.window.center = (run.window.center - NumberOf(dataset, tags::kRescaleIntercept).value_or(0.0)) / slope;
  run.window.width /= slope;
}

void FillWindow(const Item& dataset, Run& run) {
  if (run.samples == 3) {
    run.window = {128.0, 256.0};
    run.window_from = "colours as stored";
    return;
  }
  const Item* enhanced = GroupItem(dataset, tags::kFrameVoiLut, 0);
  std::optional<GreyWindow> window = WindowIn(enhanced != nullptr ? *enhanced : dataset);
  if (window) {
    run.window = *window;
    run.window_from = "window of the file";
    UndoRescale(dataset, run);
    return;
  }
  const Item* lut = FirstItem(dataset, tags::kVoiLut);
  const std::optional<Table> table = lut == nullptr ? std::nullopt : TableFrom(*lut, tags::kLutDescriptor, tags::kLutData);
  if (table) window = WindowOf(*table);
  if (window) {
    run.window = *window;
    run.window_from = "straight window near the file's table of greys";
  } else if (lut != nullptr) {
    Note(run, "The file's table of greys shows nothing; the window is taken from the pixels.");
  }
}

void CutTo(const Shutter& other, Shutter& shutter) {
  shutter.left = std::max(shutter.left, other.left);
  shutter.right = std::min(shutter.right, other.right);
  shutter.top = std::max(shutter.top, other.top);
  shutter.bottom = std::min(shutter.bottom, other.bottom);
}

int Pixel(double stored) { return static_cast<int>(std::clamp(std::round(stored) - 1.0, -1e6, 1e6)); }  // from 1 to from 0

std::optional<Shutter> Rectangle(const Item& dataset) {
  const std::optional<double> left = NumberOf(dataset, tags::kShutterLeft), right = NumberOf(dataset, tags::kShutterRight);
  const std::optional<double> top = NumberOf(dataset, tags::kShutterUpper), bottom = NumberOf(dataset, tags::kShutterLower);
  if (!left || !right || !top || !bottom) return std::nullopt;
  return Shutter{Pixel(*left), Pixel(*right), Pixel(*top), Pixel(*bottom)};
}

std::optional<Shutter> Circle(const Item& dataset) {
  const std::vector<double> centre = NumbersOf(dataset, tags::kShutterCentre);
  const std::optional<double> radius = NumberOf(dataset, tags::kShutterRadius);
  if (centre.size() != 2 || !radius || !(*radius > 0.0)) return std::nullopt;
  return Shutter{Pixel(centre[1] - *radius), Pixel(centre[1] + *radius), Pixel(centre[0] - *radius), Pixel(centre[0] + *radius)};
}

// The rectangle around the corners, which are row\column pairs.
std::optional<Shutter> Polygon(const Item& dataset) {
  const std::vector<double> corners = NumbersOf(dataset, tags::kShutterVertices);
  if (corners.size() < 6 || corners.size() % 2 != 0) return std::nullopt;
  Shutter around{Pixel(corners[1]), Pixel(corners[1]), Pixel(corners[0]), Pixel(corners[0])};
  for (std::size_t i = 0; i < corners.size(); i += 2) {
    around.left = std::min(around.left, Pixel(corners[i + 1]));
    around.right = std::max(around.right, Pixel(corners[i + 1]));
    around.top = std::min(around.top, Pixel(corners[i]));
    around.bottom = std::max(around.bottom, Pixel(corners[i]));
  }
  return around;
}

void FillShutter(const Item& dataset, Run& run) {
  const std::string shape = TextOf(dataset, tags::kShutterShape);
  Shutter shutter{0, run.columns - 1, 0, run.rows - 1};
  const auto cut = [&](const char* name, const std::optional<Shutter>& part) {
    if (shape.find(name) != std::string::npos && part) CutTo(*part, shutter);
  };
  cut("RECTANGULAR", Rectangle(dataset));
  cut("CIRCULAR", Circle(dataset));
  cut("POLYGONAL", Polygon(dataset));
  const bool whole = shutter.left == 0 && shutter.top == 0 && shutter.right == run.columns - 1 && shutter.bottom == run.rows - 1;
  if (whole) return;
  if (shutter.left >= shutter.right || shutter.top >= shutter.bottom) {
    Warn(run, "The file's shutter leaves nothing of the picture; it is not used.");
    return;
  }
  run.shutter = shutter;
}

}  // namespace

Result<Palette> PaletteFrom(const Item& dataset) {
  Palette palette;
  for (std::uint32_t channel = 0; channel < 3; ++channel) {
    const std::optional<Table> table = TableFrom(dataset, tags::kPaletteDescriptor + channel, tags::kPaletteData + channel);
    if (!table) {
      return Error{"the palette of colours is missing or damaged", "Palette Color Lookup Table", "export the run as grey or RGB"};
    }
    palette.first = static_cast<int>(table->first);
    const double most = *std::ranges::max_element(table->entries);
    const double divisor = most > 255.0 ? 257.0 : 1.0;  // 16-bit entries hold the colour in the whole word
    for (const double entry : table->entries) {
      palette.channels[channel].push_back(static_cast<std::uint8_t>(std::min(255.0, std::floor(entry / divisor))));
    }
  }
  return palette;
}

void FillGreys(const Item& dataset, Run& run) {
  FillWindow(dataset, run);
  FillShutter(dataset, run);
}

}  // namespace fairlead
