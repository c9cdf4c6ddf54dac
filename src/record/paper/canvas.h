// SPDX-License-Identifier: Apache-2.0
// A page to write on from top to bottom: text in boxes, rules, new pages by themselves. Points of 1/72 inch. Cairo and
// Pango stay in canvas.cc. Inside this room only.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "measure/result.h"
#include "record/picture/key_picture.h"

namespace fairlead {

struct TextStyle {
  double size = 9.0;
  bool bold = false;
  double grey = 0.0;            // 0 black, 1 white
};

class PaperCanvas {
 public:
  virtual ~PaperCanvas() = default;
  virtual double left() const = 0;
  virtual double width() const = 0;      // between the margins
  virtual double top() const = 0;        // of what is free
  virtual double room() const = 0;       // down to the lower margin
  virtual void Skip(double points) = 0;
  virtual void NewPage() = 0;
  virtual double HeightOf(std::string_view text, double box, const TextStyle& style) = 0;
  // How many bytes of the text fit into the height, up to the end of a line; all of them where all fit.
  virtual std::size_t Fitting(std::string_view text, double box, double height, const TextStyle& style) = 0;
  // At x, `down` below the top; does not move the top. `tag` names a structure element ("H1", "H2", "P", "TH", "TD").
  virtual void Text(std::string_view text, double x, double down, double box, const TextStyle& style, const char* tag) = 0;
  // Elements around others; both on one page.
  virtual void Begin(const char* tag) = 0;
  virtual void End(const char* tag) = 0;
  virtual void Frame(double x, double down, double box, double height, double grey, bool dashed) = 0;
  virtual void Fill(double x, double down, double box, double height, double grey) = 0;
  virtual void Rule(double down, double grey) = 0;
  // Scaled to the box's width; its height is that of `HeightOf`.
  virtual void Draw(const KeyPicture& picture, double x, double down, double box) = 0;
  virtual void Bookmark(std::string_view title) = 0;   // at the top
  // The bytes; nothing can be written after it.
  virtual std::string Finish() = 0;
};

struct CanvasSettings {
  double width = 595.0, height = 842.0, margin = 45.0;
  std::string title, date;                       // ISO 8601; both dates of the file
  std::function<std::string(int page)> foot{};   // at the foot of every page
  std::filesystem::path fonts{};
};
Result<std::unique_ptr<PaperCanvas>> OpenCanvas(const CanvasSettings& settings);

}  // namespace fairlead
