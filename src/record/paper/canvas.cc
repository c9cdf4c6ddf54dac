// SPDX-License-Identifier: Apache-2.0
#include "record/paper/canvas.h"

#include <cairo-pdf.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pango/pangofc-fontmap.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <utility>
#include <vector>

#include "record/paper/tagged.h"

namespace fairlead {
namespace {

template <auto Free>
struct FreedBy {
  template <typename T>
  void operator()(T* held) const { Free(held); }
};
template <typename T, auto Free>
using Owned = std::unique_ptr<T, FreedBy<Free>>;

using Fonts = Owned<FcConfig, FcConfigDestroy>;
using Surface = Owned<cairo_surface_t, cairo_surface_destroy>;
using Pen = Owned<cairo_t, cairo_destroy>;
using Map = Owned<PangoFontMap, g_object_unref>;
using Context = Owned<PangoContext, g_object_unref>;
using Layout = Owned<PangoLayout, g_object_unref>;
using Face = Owned<PangoFontDescription, pango_font_description_free>;

cairo_status_t Append(void* held, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(held)->append(reinterpret_cast<const char*>(bytes), size);
  return CAIRO_STATUS_SUCCESS;
}

// What the machine has installed is not looked at.
Result<Fonts> FontsIn(const std::filesystem::path& folder) {
  Fonts fonts(FcConfigCreate());
  for (const char* name : {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"}) {
    const std::filesystem::path file = folder / name;
    if (FcConfigAppFontAddFile(fonts.get(), reinterpret_cast<const FcChar8*>(file.c_str())) == FcFalse)
      return Error{"the font of the report is not there", file.string(), "install the package fonts-dejavu-core", Fault::kOutside};
  }
  return fonts;
}

class Canvas final : public PaperCanvas {
 public:
  // The font map keeps its reference to the fonts when it ends, some 66 kB a report: it is taken back first.
  ~Canvas() override {
    context_.reset();
    pango_fc_font_map_set_config(reinterpret_cast<PangoFcFontMap*>(map_.get()), nullptr);
  }
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;
  Canvas(const CanvasSettings& settings, Fonts fonts) : settings_(settings), fonts_(std::move(fonts)) {
    surface_.reset(cairo_pdf_surface_create_for_stream(Append, &bytes_, settings.width, settings.height));
    cairo_pdf_surface_restrict_to_version(surface_.get(), CAIRO_PDF_VERSION_1_5);
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, settings.title.c_str());
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATOR, "fairlead");
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE, settings.date.c_str());
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_MOD_DATE, settings.date.c_str());
    pen_.reset(cairo_create(surface_.get()));
    map_.reset(pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
    pango_fc_font_map_set_config(reinterpret_cast<PangoFcFontMap*>(map_.get()), fonts_.get());
    pango_cairo_font_map_set_resolution(reinterpret_cast<PangoCairoFontMap*>(map_.get()), 72.0);
    context_.reset(pango_font_map_create_context(map_.get()));
    pango_context_set_language(context_.get(), pango_language_from_string("en"));
    top_ = settings.margin;
  }

  double left() const override { return settings_.margin; }
  double width() const override { return settings_.width - 2.0 * settings_.margin; }
  double top() const override { return top_; }
  double room() const override { return settings_.height - settings_.margin - kFoot - top_; }
  void Skip(double points) override { top_ += points; }

  void NewPage() override {
    WriteFoot();
    cairo_show_page(pen_.get());
    ++page_;
    top_ = settings_.margin;
  }

  double HeightOf(std::string_view text, double box, const TextStyle& style) override {
    const Layout layout = Set(text, box, style);
    int height = 0;
    pango_layout_get_size(layout.get(), nullptr, &height);
    return std::ceil(static_cast<double>(height) / PANGO_SCALE);
  }

  std::size_t Fitting(std::string_view text, double box, double height, const TextStyle& style) override {
    const Layout layout = Set(text, box, style);
    const Owned<PangoLayoutIter, pango_layout_iter_free> lines(pango_layout_get_iter(layout.get()));
    std::size_t fits = 0;
    do {
      PangoRectangle logical;
      pango_layout_iter_get_line_extents(lines.get(), nullptr, &logical);
      if (static_cast<double>(logical.y + logical.height) / PANGO_SCALE > height) return std::min(fits, text.size());
      const PangoLayoutLine* line = pango_layout_iter_get_line_readonly(lines.get());
      fits = static_cast<std::size_t>(line->start_index + line->length);
    } while (pango_layout_iter_next_line(lines.get()) != 0);
    return text.size();
  }

  void Text(std::string_view text, double x, double down, double box, const TextStyle& style, const char* tag) override {
    WriteAt(text, x, top_ + down, box, style, tag);
  }

  void Begin(const char* tag) override { cairo_tag_begin(pen_.get(), tag, nullptr); }
  void End(const char* tag) override { cairo_tag_end(pen_.get(), tag); }

  void Frame(double x, double down, double box, double height, double grey, bool dashed) override {
    constexpr double kDash[] = {2.5, 2.0};
    cairo_set_source_rgb(pen_.get(), grey, grey, grey);
    cairo_set_line_width(pen_.get(), dashed ? 0.9 : 0.5);
    cairo_set_dash(pen_.get(), kDash, dashed ? 2 : 0, 0.0);
    cairo_rectangle(pen_.get(), x, top_ + down, box, height);
    cairo_stroke(pen_.get());
  }

  void Fill(double x, double down, double box, double height, double grey) override {
    cairo_set_source_rgb(pen_.get(), grey, grey, grey);
    cairo_rectangle(pen_.get(), x, top_ + down, box, height);
    cairo_fill(pen_.get());
  }

  void Rule(double down, double grey) override { Fill(left(), down, width(), 0.8, grey); }

  void Draw(const KeyPicture& picture, double x, double down, double box) override {
    cairo_t* pen = pen_.get();
    std::string instead = picture.title + (picture.caption.empty() ? "" : "; " + picture.caption);
    for (const std::string& mark : picture.marks) instead += "; " + mark;
    figures_.push_back(std::move(instead));
    cairo_tag_begin(pen, "Figure", nullptr);
    cairo_save(pen);
    cairo_set_dash(pen, nullptr, 0, 0.0);
    cairo_translate(pen, x, top_ + down);
    cairo_scale(pen, box / picture.width, box / picture.width);
    cairo_rectangle(pen, 0.0, 0.0, picture.width, picture.height);
    cairo_clip(pen);
    if (picture.raster != nullptr) DrawPixels(picture);
    for (const PictureShape& shape : picture.shapes) DrawShape(shape);
    for (const PictureWords& words : picture.words) DrawWords(words);
    cairo_restore(pen);
    cairo_tag_end(pen, "Figure");
  }

  void Bookmark(std::string_view title) override {
    const std::string place = "page=" + std::to_string(page_) + " pos=[0 " + std::to_string(static_cast<int>(top_)) + "]";
    cairo_pdf_surface_add_outline(surface_.get(), CAIRO_PDF_OUTLINE_ROOT, std::string(title).c_str(), place.c_str(), CAIRO_PDF_OUTLINE_FLAG_OPEN);
  }

  std::string Finish() override {
    WriteFoot();
    cairo_show_page(pen_.get());
    cairo_surface_finish(surface_.get());
    return Tagged(bytes_, figures_);
  }

 private:
  static constexpr double kFoot = 20.0;

  Layout Set(std::string_view text, double box, const TextStyle& style) {
    Layout layout(pango_layout_new(context_.get()));
    const Face face(pango_font_description_new());
    pango_font_description_set_family_static(face.get(), "DejaVu Sans");
    pango_font_description_set_weight(face.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(face.get(), style.size * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), face.get());
    pango_layout_set_width(layout.get(), static_cast<int>(box * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    const Owned<char, g_free> whole(g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
    pango_layout_set_text(layout.get(), whole.get(), -1);
    return layout;
  }

  void WriteAt(std::string_view text, double x, double y, double box, const TextStyle& style, const char* tag) {
    const Layout layout = Set(text, box, style);
    cairo_set_source_rgb(pen_.get(), style.grey, style.grey, style.grey);
    cairo_move_to(pen_.get(), x, y);
    cairo_tag_begin(pen_.get(), tag, nullptr);
    pango_cairo_show_layout(pen_.get(), layout.get());
    cairo_tag_end(pen_.get(), tag);
  }

  void DrawPixels(const KeyPicture& picture) {
    const Raster& raster = *picture.raster;
    const Surface pixels(cairo_image_surface_create(CAIRO_FORMAT_RGB24, raster.columns, raster.rows));
    unsigned char* line = cairo_image_surface_get_data(pixels.get());
    if (line == nullptr) return;
    const int stride = cairo_image_surface_get_stride(pixels.get());
    std::size_t at = 0;
    for (int row = 0; row < raster.rows; ++row, line += stride) {
      for (int column = 0; column < raster.columns; ++column) {
        const std::uint32_t red = raster.bytes[at], green = raster.bytes[raster.samples == 3 ? at + 1 : at], blue = raster.bytes[raster.samples == 3 ? at + 2 : at];
        const std::uint32_t value = red << 16 | green << 8 | blue;
        std::memcpy(line + 4 * column, &value, sizeof value);
        at += static_cast<std::size_t>(raster.samples);
      }
    }
    cairo_surface_mark_dirty(pixels.get());
    cairo_save(pen_.get());
    cairo_scale(pen_.get(), picture.width / raster.columns, picture.height / raster.rows);
    cairo_set_source_surface(pen_.get(), pixels.get(), 0.0, 0.0);
    cairo_paint(pen_.get());
    cairo_restore(pen_.get());
  }

  void Ink(const InkColour& colour) { cairo_set_source_rgb(pen_.get(), colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0); }

  void DrawShape(const PictureShape& shape) {
    cairo_t* pen = pen_.get();
    cairo_new_path(pen);
    for (const PixelPoint& point : shape.points) cairo_line_to(pen, point.x, point.y);
    if (shape.closed || shape.width <= 0.0) cairo_close_path(pen);
    cairo_set_line_join(pen, CAIRO_LINE_JOIN_ROUND);
    if (shape.width <= 0.0) {
      Ink(shape.colour);
      cairo_fill(pen);
      return;
    }
    if (shape.halo) {
      Ink({});
      cairo_set_line_width(pen, 2.4 * shape.width);
      cairo_stroke_preserve(pen);
    }
    Ink(shape.colour);
    cairo_set_line_width(pen, shape.width);
    cairo_stroke(pen);
  }

  // The letters stay letters, to be found and selected; what makes them stand out lies beneath.
  void DrawWords(const PictureWords& words) {
    const Layout layout = Set(words.text, 1.0e5, {.size = words.size, .bold = words.halo, .grey = 0.0});
    const double up = static_cast<double>(pango_layout_get_baseline(layout.get())) / PANGO_SCALE;
    if (words.halo) {
      int width = 0, height = 0;
      pango_layout_get_size(layout.get(), &width, &height);
      Ink({});
      cairo_rectangle(pen_.get(), words.at.x - 1.5, words.at.y - up, static_cast<double>(width) / PANGO_SCALE + 3.0, static_cast<double>(height) / PANGO_SCALE);
      cairo_fill(pen_.get());
    }
    Ink(words.colour);
    cairo_move_to(pen_.get(), words.at.x, words.at.y - up);
    pango_cairo_show_layout(pen_.get(), layout.get());
  }

  void WriteFoot() {
    if (settings_.foot) WriteAt(settings_.foot(page_), left(), settings_.height - settings_.margin - 8.0, width(), {.size = 6.5, .bold = false, .grey = 0.3}, "P");
  }

  CanvasSettings settings_;
  Fonts fonts_;
  std::string bytes_;
  std::vector<std::string> figures_;  // words in the place of each
  Surface surface_;
  Pen pen_;
  Map map_;
  Context context_;
  double top_ = 0.0;
  int page_ = 1;
};

}  // namespace

Result<std::unique_ptr<PaperCanvas>> OpenCanvas(const CanvasSettings& settings) {
  auto fonts = FontsIn(settings.fonts);
  if (!fonts.ok()) return fonts.error();
  return std::unique_ptr<PaperCanvas>(std::make_unique<Canvas>(settings, std::move(*fonts)));
}

}  // namespace fairlead
