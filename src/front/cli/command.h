// SPDX-License-Identifier: Apache-2.0
// The command line: every command of the program and what it does.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "front/cli/audit.h"
#include "front/cli/ivus.h"
#include "front/cli/report.h"
#include "front/cli/trace.h"
#include "measure/result.h"

namespace fairlead {

// What `views` takes.
struct ViewArguments {
  std::string view, from, to;            // "LAO45/CRA25", "x,y,z"
  double sid = 1100.0, sod = 750.0, spacing = 0.390625;
  std::string matrix = "512x512";        // columns x rows
  std::vector<std::string> points;       // "x,y,z"
  std::filesystem::path tree, skin, gantry;                     // of the working views
  double primary_range = 90.0, secondary_range = 45.0, step = 1.0;  // to each side, degrees
  std::string now;                       // the view in use
  double spare_below = 0.0;              // Gy
};

// What `kit` takes.
struct KitArguments {
  std::vector<std::string> lumens, items;
  std::string clearance;                 // "0.10mm"
  bool together = false, as_given = false, keep = false;
  std::filesystem::path shelf;           // a list of devices instead of the lab's own
  std::string on;                        // the day, for expiry and the century of labels
  std::string vessel, radial;            // diameters, for the tray
  std::string target, channel;           // occluded vessel and collateral, for usual routes
};

// What `skin` takes.
struct SkinArguments {
  std::filesystem::path events, out;     // a file of events; where to write the map
  double height_cm = 0.0, weight_kg = 0.0;
  bool arms_down = false;
  std::vector<std::filesystem::path> earlier;
  int count = 40;                        // of invented events
  std::vector<std::string> faults;       // of an invented report
};

// What `egfr` and `contrast` take.
struct KidneyArguments {
  std::string creatinine, sex;           // "1.10mg/dL", "97umol/L"; "female", "male"
  std::optional<double> age, egfr, iodine;
  std::string weight, height, contrast;  // "80kg", "172cm", "208mL"
  bool dialysis = false;
};

// What `heparin` takes.
struct HeparinArguments {
  std::string weight;                    // "80kg"
  std::vector<std::string> doses, drips, acts;  // "0:8000", "10-60:1000", "10:310", "10:high"
  std::optional<double> now, target, baseline;
  std::string analyser = "H";
};

// What was typed. A command reads the members that its options fill.
struct Arguments {
  std::string command;                   // "case new", "score", ...
  bool json = false;
  std::filesystem::path data;            // the data folder
  bool data_given = false;
  int port = 8420;
  std::filesystem::path web;
  std::string listen;                    // HOST:PORT
  std::string address = "127.0.0.1";     // of --listen
  std::filesystem::path tls_certificate, tls_key;
  std::string person, role, password_from;
  std::vector<std::string> names;        // of the server, for its certificate
  std::string case_id;
  std::string title, room;
  std::string text;                      // of the log
  std::string at, by;
  std::string name, owner, version, reason;  // of the lab's knowledge
  bool known = false;
  bool confirm = false;                  // of the log: what was asked about is meant
  std::string only;
  std::vector<std::filesystem::path> files;
  std::filesystem::path model;           // of the ladder
  std::filesystem::path budget, priors;
  bool print_priors = false, proposal = false;
  std::filesystem::path out;
  std::uint64_t seed = 1;
  std::string scene;
  std::string grade = "typical";
  int bits = 8;
  ViewArguments views;
  SkinArguments skin;
  IvusArguments ivus;
  KitArguments kit;
  TraceArguments trace;
  AuditArguments audit;
  ReportArguments report;
  KidneyArguments kidney;
  HeparinArguments heparin;
};

// The arguments, or the exit status with which the program ends at once (help was asked for, or the line is wrong: one
// sentence was written to standard error then).
struct Parsed {
  std::optional<int> ends;
  Arguments arguments;
};
Parsed ParseCommandLine(int argc, char** argv);

// Runs the program; gives its exit status: 0 done, 1 the input is wrong, 2 the command line is wrong, 3 something
// outside failed. `_decode` as the first argument is the child that reads foreign files.
int RunCommandLine(int argc, char** argv);

inline constexpr const char* kVersion = "0.1.0";

}  // namespace fairlead
