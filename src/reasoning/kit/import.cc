// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/import.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>

#include "reasoning/kit/csv.h"
#include "reasoning/kit/import_columns.h"
#include "reasoning/kit/label.h"
#include "reasoning/kit/shelf_text.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 3> kNothing = {"-", "n/a", "–"};

struct Column {
  std::string heading;
  Heading reads;
};

class Importer {
 public:
  explicit Importer(Import& import) : import_(import) {}

  Status Head(const CsvLine& head) {
    for (const std::string& cell : head.cells) {
      Heading reads = ReadHeading(cell);
      const bool twice = reads.field != nullptr && std::ranges::any_of(columns_, [&](const Column& column) {
        return column.reads.field == reads.field;
      });
      if (twice) reads.field = nullptr;
      columns_.push_back({cell, reads});
      import_.columns.push_back({cell, reads.field == nullptr ? "" : std::string(reads.field->name), UnitOf(reads)});
    }
    if (Has("name") && Has("class")) return Done{};
    const bool none = !Has("name");
    return Error{none ? "no column gives the devices' names" : "no column gives the devices' classes",
                 fmt::format("headings '{}'", Headings()),
                 fmt::format("head a column with '{}' and say what each line is: guide, microcatheter, balloon, ...", none ? "name" : "class")};
  }

  // Before the lines: which way round the list writes its days.
  void LookAhead(const std::vector<CsvLine>& lines) {
    DayOrderVote vote;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (columns_[i].reads.field == nullptr || columns_[i].reads.field->name != "expires") continue;
      for (std::size_t line = 1; line < lines.size(); ++line) {
        if (i < lines[line].cells.size()) vote.Add(lines[line].cells[i]);
      }
    }
    order_ = vote.Result();
  }

  void Line(const CsvLine& line) {
    ++import_.lines;
    line_ = line.number;
    refused_ = false;
    Device device;
    device.rounding = Length::Millimetres(0.005);
    Stock stock;
    if (!line.whole) Refuse("", "the line cannot be split into cells", "look for a quote that is not closed");
    for (std::size_t i = 0; i < columns_.size() && !refused_; ++i) {
      const std::string cell = i < line.cells.size() ? line.cells[i] : std::string();
      const bool nothing = cell.empty() || std::ranges::find(kNothing, cell) != kNothing.end();
      if (columns_[i].reads.field != nullptr && !nothing) Cell(columns_[i], cell, device, stock);
    }
    if (!refused_ && line.cells.size() > columns_.size()) {
      Refuse("", fmt::format("the line has {} cells, the head has {}", line.cells.size(), columns_.size()),
             "put quotes around a cell that holds the delimiter");
    }
    if (!refused_ && device.name.empty()) Refuse(HeadingOf("name"), "the device has no name", "give the lab's own name");
    if (!refused_ && !classed_) Refuse(HeadingOf("class"), "the device has no class", "say guide, microcatheter, balloon, ...");
    if (!refused_) Keep(std::move(device), std::move(stock));
    import_.refused += refused_ ? 1 : 0;
    classed_ = false;
  }

 private:
  static std::string UnitOf(const Heading& reads) {
    if (reads.field == nullptr || reads.field->size == nullptr) return reads.field != nullptr && reads.field->name == "tip_load" ? "gf" : "";
    return std::string(UnitWord(reads.unit.value_or(reads.field->unit)));
  }
  bool Has(std::string_view field) const { return !HeadingOf(field).empty(); }
  std::string HeadingOf(std::string_view field) const {
    for (const Column& column : columns_) {
      if (column.reads.field != nullptr && column.reads.field->name == field) return column.heading;
    }
    return {};
  }
  std::string Headings() const {
    std::string all;
    for (const Column& column : columns_) all += (all.empty() ? "" : ", ") + column.heading;
    return all.substr(0, 120);
  }

  void Problem(const std::string& column, std::string what, std::string to_do, bool refused) {
    if (import_.problems.size() < kMostProblems) import_.problems.push_back({line_, column, std::move(what), std::move(to_do), refused});
  }
  void Refuse(const std::string& column, std::string what, std::string to_do) {
    Problem(column, std::move(what), std::move(to_do), true);
    refused_ = true;
  }

  void Cell(const Column& column, const std::string& cell, Device& device, Stock& stock) {
    const Field& field = *column.reads.field;
    if (field.size != nullptr) return Size(column, cell, device);
    if (field.text != nullptr) { device.*field.text = cell; return; }
    if (field.name == "class") return Class(column, cell, device);
    if (field.name == "count") return Count(column, cell, stock);
    if (field.name == "tip_load") return Load(column, cell, device);
    if (field.name == "lot") { stock.lot = cell; return; }
    if (field.name == "place") { stock.place = cell; return; }
    stock.expires = ReadDay(cell, order_);
    if (stock.expires.empty()) Refuse(column.heading, fmt::format("'{}' is not a day that can be read surely", cell.substr(0, 40)), "write it as 2027-12-31");
  }

  // "1.8/2.6 Fr": the distal and the proximal shaft of one device.
  bool TwoShafts(const Column& column, const std::string& cell, Device& device) {
    const auto slash = cell.find('/');
    if (slash == std::string::npos || column.reads.field->size != &Device::od_prox) return false;
    const SizeUnit unit = column.reads.unit.value_or(column.reads.field->unit);
    const auto second = ParseSize(cell.substr(slash + 1), unit);
    const auto first = second.ok() ? ParseSize(cell.substr(0, slash), second->unit) : second;
    if (!first.ok() || !second.ok()) return false;
    if (first->value > second->value) {
      Refuse(column.heading, fmt::format("'{}': the distal shaft would be thicker than the proximal one", cell.substr(0, 40)),
             "write distal/proximal, or give each its own column");
      return true;
    }
    device.od_dist = first->value;
    device.od_prox = second->value;
    Round(device, second->unit);
    return true;
  }

  // Half of what that unit's labels are printed to.
  static void Round(Device& device, SizeUnit unit) {
    const Length half = unit == SizeUnit::kInch ? Length::Inches(0.0005) : unit == SizeUnit::kFrench ? Length::French(0.05) : Length::Millimetres(0.005);
    device.rounding = std::max(device.rounding, half);
  }

  void Size(const Column& column, const std::string& cell, Device& device) {
    const Field& field = *column.reads.field;
    if (TwoShafts(column, cell, device)) return;
    const SizeUnit unit = column.reads.unit.value_or(field.unit);
    const auto size = ParseSize(cell, unit);
    if (!size.ok()) return Refuse(column.heading, size.error().what + fmt::format(" ('{}')", cell.substr(0, 40)), size.error().to_do);
    device.*field.size = size->value;
    if (!field.rounds) return;
    Round(device, size->unit);
  }

  void Class(const Column& column, const std::string& cell, Device& device) {
    const auto kind = ClassOf(cell);
    if (!kind) {
      std::string words;
      for (const ClassName& name : DeviceClasses()) words += (words.empty() ? "" : ", ") + std::string(name.word);
      return Refuse(column.heading, fmt::format("there is no class '{}'", cell.substr(0, 40)), "use one of " + words);
    }
    device.kind = *kind;
    classed_ = true;
  }

  void Count(const Column& column, const std::string& cell, Stock& stock) {
    const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), stock.count);
    if (fault != std::errc() || end != cell.data() + cell.size() || stock.count < 0 || stock.count > 100'000) {
      Refuse(column.heading, fmt::format("'{}' is not a count", cell.substr(0, 40)), "give a whole number from 0 to 100000");
    }
  }

  void Load(const Column& column, std::string cell, Device& device) {
    std::ranges::replace(cell, ',', '.');
    double load = 0.0;
    const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), load);
    std::string tail(end, static_cast<std::size_t>(cell.data() + cell.size() - end));
    tail.erase(0, tail.find_first_not_of(' ') == std::string::npos ? tail.size() : tail.find_first_not_of(' '));
    if (fault != std::errc() || !(tail.empty() || tail == "g" || tail == "gf")) {
      return Refuse(column.heading, fmt::format("'{}' is not a tip load", cell.substr(0, 40)), "give gram-force, as in 9");
    }
    device.tip_load_gf = load;
  }

  // The same device once more is another batch; the same name with other sizes is a mistake.
  void Keep(Device device, Stock stock) {
    if (device.id.empty()) device.id = device.name;
    if (device.kind == DeviceClass::kGuidewire && !device.wire) device.wire = device.od_prox;
    // Such a wire would lie free beside everything.
    if (const Status wire = device.wire ? CheckWireDiameter(*device.wire, fmt::format("{:.3f} mm", device.wire->millimetres())) : Status(Done{}); !wire.ok()) {
      return Refuse(HeadingOf("wire"), fmt::format("{}: {}, not {:.3f} mm", device.name, wire.error().what, device.wire->millimetres()), wire.error().to_do);
    }
    for (const std::string& oddity : Contradictions(device)) {
      Problem("", fmt::format("{}: {}", device.name, oddity), "compare with the package", false);
      ++import_.looked_at;
    }
    const bool batch = stock.count > 0 || !stock.lot.empty();
    const auto [known, fresh] = by_name_.try_emplace(device.name, import_.shelf.devices.size());
    if (fresh) {
      import_.shelf.devices.push_back(std::move(device));
      first_line_.push_back(line_);
    } else if (!SameSizes(import_.shelf.devices[known->second], device)) {
      return Refuse(HeadingOf("name"), fmt::format("'{}' stands in line {} with other sizes", device.name, first_line_[known->second]),
                    "give each size its own name");
    } else {
      AddNumbers(import_.shelf.devices[known->second], device);
    }
    OneNameANumber(import_.shelf.devices[known->second]);
    if (batch) import_.shelf.devices[known->second].stock.push_back(std::move(stock));
    ++import_.taken;
  }

  // A device may have several numbers: one for each size of its packing, or a new one of its maker.
  static void AddNumbers(Device& device, const Device& line) {
    for (const std::string& number : NumbersOf(line)) {
      if (!HasNumber(device, number)) device.gtin += (device.gtin.empty() ? "" : " ") + number;
    }
  }

  // Under two names the same packages would be counted twice, and a label could mean either.
  void OneNameANumber(const Device& device) {
    for (const std::string& number : NumbersOf(device)) {
      const auto [known, fresh] = by_number_.try_emplace(number, device.name);
      if (fresh || known->second == device.name) continue;
      Problem(HeadingOf("gtin"), fmt::format("the number {} stands for '{}' as well", number, known->second),
              "give a device one name: its packages are counted under both, and a label means the first", false);
      ++import_.looked_at;
    }
  }

  static bool SameSizes(const Device& a, const Device& b) {
    return a.kind == b.kind && a.od_prox == b.od_prox && a.od_dist == b.od_dist && a.profile == b.profile && a.lumen == b.lumen &&
           a.usable == b.usable && a.nominal == b.nominal && a.nominal_length == b.nominal_length && a.tip == b.tip;
  }

  Import& import_;
  std::vector<Column> columns_;
  std::map<std::string, std::size_t> by_name_;
  std::map<std::string, std::string> by_number_;
  std::vector<std::size_t> first_line_;
  std::size_t line_ = 0;
  DayOrder order_ = DayOrder::kUnsure;
  bool refused_ = false, classed_ = false;
};

// A field that the fit or the reach of most devices needs.
void Missing(Import& import) {
  for (const std::string_view field : {"od_prox", "od_dist", "profile", "lumen", "usable", "expires", "count"}) {
    const bool given = std::ranges::any_of(import.columns, [&](const ImportColumn& column) { return column.field == field; });
    if (!given) import.missing.emplace_back(field);
  }
}

}  // namespace

Result<Import> ImportShelf(std::string_view csv) {
  auto table = ReadCsv(csv);
  if (!table.ok()) return table.error();
  Import import;
  import.delimiter = table->delimiter;
  import.encoding = table->encoding;
  Importer importer(import);
  const Status head = importer.Head(table->lines.front());
  if (!head.ok()) return head.error();
  Missing(import);
  importer.LookAhead(table->lines);
  for (std::size_t i = 1; i < table->lines.size(); ++i) importer.Line(table->lines[i]);
  return import;
}

const Shelf& InventedShelf() {
  static const Shelf kShelf = [] {
    auto import = ImportShelf(InventedShelfText());
    Shelf shelf = import.ok() ? std::move(import->shelf) : Shelf{};
    shelf.invented = true;
    for (Device& device : shelf.devices) device.invented = true;
    return shelf;
  }();
  return kShelf;
}

}  // namespace fairlead
