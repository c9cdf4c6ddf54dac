// SPDX-License-Identifier: Apache-2.0
// An entry is one recorded fact of the journal. Entries are never edited; a later entry amends or withdraws an earlier.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <variant>
#include <vector>

#include "casebook/fact.h"
#include "casebook/run_event.h"
#include "measure/instant.h"

namespace fairlead {

using Hash = std::array<std::uint8_t, 32>;  // SHA-256

// How a fact came to be known.
enum class Mark { kStated, kRead, kMeasured };

struct PixelPoint {
  double x = 0.0, y = 0.0;  // column, row; 0-based, pixel centres at integers
};

struct NamedPart {
  std::string name;  // "clicks", "pixel size", "foreshortening (not corrected)"
  double sd = 0.0;   // in the fact's unit
};

// Places of one kind in one picture: a cap is one place, a course several.
struct NamedPlaces {
  std::string name;                  // "near cap", "vessel before", "point 1"
  std::vector<PixelPoint> points;
};
// One of the pictures of a measurement that rests on several.
struct ViewOrigin {
  std::string image;                 // content hash, hex
  int frame = 0;
  std::string method;                // how its places came to be: "trace 5"; empty: clicked
  std::string table;                 // "still", "unknown" or "moved" since the first picture; empty: nothing was asked
  std::vector<double> shift_mm;      // of the table since the first picture, patient's x, y, z; or none
  std::vector<NamedPlaces> marks;
};

// Pixels and method behind a fact; empty strings where there are none.
struct FactOrigin {
  std::string image;                 // content hash, hex
  int frame = -1;
  std::string method;                // "ruler, catheter 6 French"; "typed"
  std::vector<PixelPoint> points;    // the clicks
  std::vector<NamedPart> parts;      // what the uncertainty is made of
  std::vector<std::vector<PixelPoint>> strokes{};  // edges that the reader drew
  std::vector<ViewOrigin> views{};   // every picture with all its places, where there are several; the members above are then of the first
};

// --- Data of each kind. The kind's name on the wire stands beside it.
struct CaseOpened {      // "case": first entry of a case; no identifiers here, they stand beside the chain
  std::string title;     // one line, no names
  std::string room;
  bool invented = false; // demonstration data, marked so on every screen
};
struct FactStated {      // "fact"
  FactKey key;
  Belief belief;
  Mark mark = Mark::kStated;
  FactOrigin origin;
  std::string note;
};
struct ImageAdded {      // "image": a run joins the case
  std::string hash;      // SHA-256 of the file's bytes, hex
  std::string label;     // "run 3"; ours, never the file's name
  int frames = 0, rows = 0, columns = 0;
  std::string modality;  // "XA", "US", "OT"
};
struct PixelSizeSet {    // "calibration": millimetres for a pixel of one image, at the depth of the object measured
  std::string image;
  double mm_per_px = 0.0;
  double sd_mm_per_px = 0.0;
  std::string method;    // "catheter 6 French", "geometry"
  int frame = -1;
  std::vector<PixelPoint> points;
};
struct NoteWritten {     // "note"
  std::string text;
};
struct Withdrawn {       // "withdraw": the entry named by `amends` no longer counts
  std::string reason;
};
struct Shown {           // "shown": what the screens said at an acceptance; never feeds the fold
  std::string at_step;   // "acceptance"
  std::string text;
};
struct KnowledgeWritten {  // "knowledge": what the lab's journal holds under a name; of that chain only
  std::string name;      // "shelf", "limits": small letters, digits and -
  std::string owner;     // role that answers for it; no names
  std::string version;   // the owner's own
  std::string text;      // a JSON object, byte for byte as it came; the room that uses it reads it
};
// RunEvent, "run": what happens in the lab; run_event.h
struct StruckOut {};     // payload erased; the chain still verifies
struct NotUnderstood {   // kind or version of a newer program: kept, shown, blocks signing, not the fold
  std::string why;
};
using EntryData = std::variant<CaseOpened, FactStated, ImageAdded, PixelSizeSet, NoteWritten, Withdrawn, Shown,
                               KnowledgeWritten, RunEvent, StruckOut, NotUnderstood>;

struct Entry {
  // given by the writer
  int v = 1;                // version of the kind
  std::string id;           // ULID, 26 characters
  std::string case_id;
  Instant at;               // when it happened
  Instant written;          // the writer's clock, corrected
  std::string by;           // who, initials or role; no patient
  std::string device;
  std::string kind;
  EntryData data;
  std::string amends;       // id of the original entry, empty if none
  // given by the store
  std::int64_t seq = 0;     // per case, from 1, no gaps
  Instant recorded;         // the store's clock, never backwards
  Hash prev{};
  Hash hash{};
};

}  // namespace fairlead
