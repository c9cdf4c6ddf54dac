// SPDX-License-Identifier: Apache-2.0
#include "record/paper/pictures.h"

#include <algorithm>

namespace fairlead {
namespace {

constexpr TextStyle kTitleOf{7.6, true, 0.0}, kCaption{7.6, false, 0.0}, kMark{6.6, false, 0.3};
constexpr double kBetween = 14.0;

struct Placed {
  const KeyPicture* picture;
  std::string title;
  double x, box, height;       // of the picture itself
};

bool Seen(const KeyPicture& picture) { return picture.missing.empty() && picture.width > 0.0 && (picture.raster != nullptr || !picture.shapes.empty()); }

// What stands below a picture; with `write`, written. Its height.
double Below(PaperCanvas& canvas, const Placed& placed, bool write) {
  double down = placed.height + 3.0;
  const auto line = [&](const std::string& text, const TextStyle& style) {
    if (write) canvas.Text(text, placed.x, down, placed.box, style, "Caption");
    down += canvas.HeightOf(text, placed.box, style) + 1.0;
  };
  line(placed.title, kTitleOf);
  if (!placed.picture->caption.empty()) line(placed.picture->caption, kCaption);
  for (const auto* lines : {&placed.picture->marks, &placed.picture->seen})
    for (const std::string& mark : *lines) line(mark, kMark);
  return down + 9.0;
}

double HeightOfRow(PaperCanvas& canvas, const std::vector<Placed>& row) {
  double height = 0.0;
  for (const Placed& placed : row) height = std::max(height, Below(canvas, placed, false));
  return height;
}

void WriteRow(PaperCanvas& canvas, const std::vector<Placed>& row) {
  const double height = HeightOfRow(canvas, row);
  if (height > canvas.room()) canvas.NewPage();
  for (const Placed& placed : row) {
    if (Seen(*placed.picture)) {
      canvas.Draw(*placed.picture, placed.x, 0.0, placed.box);
    } else {
      const std::string why = placed.picture->missing.empty() ? "the picture was not fetched" : placed.picture->missing;
      canvas.Frame(placed.x, 0.0, placed.box, placed.height, 0.0, true);
      canvas.Text(why, placed.x + 4.0, 3.0, placed.box - 8.0, kCaption, "P");
    }
    Below(canvas, placed, true);
  }
  canvas.Skip(height);
}

// Those that stand beside each other, row by row, with the place of each.
std::vector<std::vector<Placed>> RowsOf(const PaperCanvas& canvas, const std::vector<KeyPicture>& pictures) {
  const double half = (canvas.width() - kBetween) / 2.0, tallest = canvas.width() * 0.9;
  std::vector<std::vector<Placed>> rows;
  bool open = false;  // the last row has one half picture and room for another
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    const KeyPicture& picture = pictures[i];
    double box = picture.wide ? canvas.width() : half;
    double height = Seen(picture) ? box * picture.height / picture.width : 20.0;
    if (height > tallest) box *= tallest / height, height = tallest;
    const bool beside = open && !picture.wide;
    if (!beside) rows.emplace_back();
    rows.back().push_back({&picture, std::to_string(i + 1) + " · " + picture.title, canvas.left() + (beside ? half + kBetween : 0.0), box, height});
    open = !beside && !picture.wide;
  }
  return rows;
}

}  // namespace

double FirstPicturesHeight(PaperCanvas& canvas, const std::vector<KeyPicture>& pictures) {
  const auto rows = RowsOf(canvas, pictures);
  return rows.empty() ? 0.0 : HeightOfRow(canvas, rows.front());
}

void WritePictures(PaperCanvas& canvas, const std::vector<KeyPicture>& pictures) {
  for (const auto& row : RowsOf(canvas, pictures)) WriteRow(canvas, row);
}

}  // namespace fairlead
