// SPDX-License-Identifier: Apache-2.0
// The parts from which a report is read.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "imaging/dosereport/content.h"
#include "imaging/dosereport/report.h"
#include "imaging/dosereport/units.h"

namespace fairlead {

// Sentences about a file, each once with how often it holds.
class Remarks {
 public:
  void Add(const std::string& text);
  std::vector<std::string> Taken() const;  // "no filter stated (12 times)"

 private:
  std::vector<std::pair<std::string, int>> lines_;
  std::map<std::string, std::size_t> where_;
};

// The number in the program's unit; nothing, with a remark, if it is absent, has several values where one belongs, a
// unit that is not known, or no possible size.
std::optional<double> NumberIn(const ContentItem& content, Dimension dimension, const std::string& name, Remarks& remarks);

IrradiationEvent EventFrom(const ContentItem& container, std::size_t number, Remarks& remarks);

// The one event of a run's header; with its dose only where the header has one.
DoseReport ReportFromHeader(const Item& dataset);

// "20260105101500.5+0100" as "2026-01-05T10:15:00+01:00"; empty if it is no date.
std::string IsoTime(std::string_view text);

Plane PlaneOf(const Code& code);

}  // namespace fairlead
