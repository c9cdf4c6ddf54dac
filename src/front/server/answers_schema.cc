// SPDX-License-Identifier: Apache-2.0
// JSON Schema (draft 2020-12) of the answers of docs/wire.md, one definition an answer, named as there.
#include <fmt/core.h>

#include <cstdint>

#include "front/server/routes.h"

namespace fairlead {
namespace {

constexpr std::string_view kSchema = R"json({
"$schema": "https://json-schema.org/draft/2020-12/schema",
"title": "Answers of the engine",
"$defs": {
"time": {"type": "string", "pattern": "^\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z$"},
"ulid": {"type": "string", "pattern": "^[0-9A-HJKMNP-TV-Z]{26}$"},
"hash": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
"texts": {"type": "array", "items": {"type": "string"}},
"share": {"type": "number", "minimum": 0, "maximum": 1},
"odds": {"type": "object", "additionalProperties": {"$ref": "#/$defs/share"}},
"number": {"anyOf": [{"type": "number"}, {"type": "object", "required": ["value"], "additionalProperties": false,
  "properties": {"value": {"type": "number"}, "sd": {"type": "number", "minimum": 0}}}]},
"value": {"anyOf": [{"type": ["null", "boolean", "string"]}, {"$ref": "#/$defs/number"}, {"$ref": "#/$defs/odds"},
  {"type": "array", "items": {"$ref": "#/$defs/number"}}]},
"mark": {"enum": ["stated", "read", "measured", "derived"]},
"status": {"enum": ["counts", "amended", "withdrawn", "amendment", "not understood", "struck out"]},
"part": {"type": "object", "required": ["name", "sd"], "additionalProperties": false,
  "properties": {"name": {"type": "string"}, "sd": {"type": "number", "minimum": 0}}},
"point": {"type": "object", "required": ["x", "y"], "additionalProperties": false,
  "properties": {"x": {"type": "number"}, "y": {"type": "number"}}},
"Error": {"type": "object", "required": ["error"], "additionalProperties": false, "properties": {"error":
  {"type": "object", "required": ["what", "where", "to_do"], "additionalProperties": false, "properties":
  {"what": {"type": "string", "minLength": 1}, "where": {"type": "string"}, "to_do": {"type": "string"}}}}},
"Version": {"type": "object", "required": ["name", "version", "schema"], "additionalProperties": false,
  "properties": {"name": {"const": "fairlead"}, "version": {"type": "string"}, "schema": {"type": "string"}}},
"Facts": {"type": "object", "required": ["facts"], "properties": {"facts": {"type": "array", "minItems": 1, "items":
  {"type": "object", "required": ["name", "type", "group", "label", "unit", "grades", "may_be_unseen",
  "may_be_not_determinable", "per_channel", "low", "high", "usual_spread", "definition", "source"],
  "properties": {"name": {"type": "string"}, "type": {"enum": ["flag", "grade", "count", "reading", "readings"]},
  "grades": {"$ref": "#/$defs/texts"}, "may_be_unseen": {"type": "boolean"},
  "may_be_not_determinable": {"type": "boolean"}, "per_channel": {"type": "boolean"},
  "low": {"type": ["number", "null"]}, "high": {"type": ["number", "null"]}, "source": {"type": "string"}}}}}},
"Sources": {"type": "object", "required": ["sources"], "properties": {"sources": {"type": "array", "minItems": 1,
  "items": {"type": "object", "required": ["id", "kind", "citation", "doi", "checked", "note"]}}}},
"Definitions": {"type": "object", "required": ["scores"], "properties": {"scores": {"type": "array", "minItems": 1,
  "items": {"type": "object", "required": ["id", "name", "question", "endpoint", "polarity", "status", "status_why",
  "low", "high", "step", "items", "groups", "population", "not_for", "performance", "sources"], "properties":
  {"status": {"enum": ["FULL", "CHECK", "POINTS", "HOLD"]},
  "question": {"enum": ["wire", "success", "channel", "harm", "kidney"]}}}}}},
"Cases": {"type": "object", "required": ["cases"], "additionalProperties": false, "properties": {"cases":
  {"type": "array", "items": {"type": "object", "required": ["id", "title", "room", "invented", "summary", "entries",
  "last_at", "worked_at"], "additionalProperties": false, "properties": {"id": {"$ref": "#/$defs/ulid"},
  "title": {"type": "string"}, "room": {"type": "string"}, "invented": {"type": "boolean"},
  "summary": {"type": "string"}, "entries": {"type": "integer", "minimum": 0},
  "last_at": {"$ref": "#/$defs/time"}, "worked_at": {"anyOf": [{"$ref": "#/$defs/time"}, {"type": "null"}]}}}}}},
"NewCase": {"type": "object", "required": ["id"], "additionalProperties": false,
  "properties": {"id": {"$ref": "#/$defs/ulid"}}},
"Entries": {"type": "object", "required": ["entries"], "additionalProperties": false, "properties": {"entries":
  {"type": "array", "items": {"type": "object", "required": ["id", "seq", "recorded", "hash", "again"],
  "additionalProperties": false, "properties": {"id": {"$ref": "#/$defs/ulid"}, "seq": {"type": "integer", "minimum": 1},
  "recorded": {"$ref": "#/$defs/time"}, "hash": {"$ref": "#/$defs/hash"}, "again": {"type": "boolean"}}}}}},
"Lab": {"type": "object", "required": ["seq", "not_understood", "knowledge"], "additionalProperties": false,
  "properties": {"seq": {"type": "integer", "minimum": 0}, "not_understood": {"type": "integer", "minimum": 0},
  "knowledge": {"type": "array", "items": {"type": "object", "required": ["name", "owner", "version", "at", "recorded",
  "by", "entry", "seq", "hash", "text"], "properties": {"name": {"type": "string"}, "hash": {"$ref": "#/$defs/hash"},
  "at": {"$ref": "#/$defs/time"}, "recorded": {"$ref": "#/$defs/time"}, "text": {"type": "object"}}}}}},
"Image": {"type": "object", "required": ["hash", "modality", "kind", "transfer_syntax", "rows", "columns", "frames",
  "samples", "bits", "bits_stored", "inverse", "frame_ms", "timing", "rate_hz", "view", "sid_mm", "sod_mm",
  "detector_spacing_mm", "spacing_from", "window", "shutter", "pixel_size", "filling", "remarks"], "properties":
  {"hash": {"$ref": "#/$defs/hash"}, "rows": {"type": "integer", "minimum": 1},
  "columns": {"type": "integer", "minimum": 1}, "frames": {"type": "integer", "minimum": 1},
  "samples": {"enum": [1, 3]}, "bits": {"enum": [8, 16]}, "inverse": {"type": "boolean"},
  "frame_ms": {"type": "array", "items": {"type": "number", "minimum": 0}},
  "filling": {"type": "array", "items": {"$ref": "#/$defs/share"}},
  "window": {"type": "object", "required": ["center", "width"]},
  "remarks": {"type": "array", "items": {"type": "object", "required": ["level", "text"], "properties":
  {"level": {"enum": ["note", "warning"]}}}}}},
"Imported": {"type": "object", "required": ["hash", "again", "image", "entry"], "additionalProperties": false,
  "properties": {"hash": {"$ref": "#/$defs/hash"}, "again": {"type": "boolean"}, "image": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/Image"}]},
  "dose": {"type": "object", "required": ["events"]},
  "entry": {"type": "object", "required": ["id", "seq"]}}},
"PixelSize": {"type": "object", "required": ["mm_per_px", "sd_mm_per_px", "parts", "method", "warnings"],
  "additionalProperties": false, "properties": {"mm_per_px": {"type": "number", "exclusiveMinimum": 0},
  "sd_mm_per_px": {"type": "number", "minimum": 0}, "parts": {"type": "array", "items": {"$ref": "#/$defs/part"}},
  "method": {"type": "string"}, "warnings": {"$ref": "#/$defs/texts"}}},
"Length": {"type": "object", "required": ["length_mm", "parts", "method", "warnings"], "additionalProperties": false,
  "properties": {"length_mm": {"type": "object", "required": ["value", "sd"]},
  "parts": {"type": "array", "items": {"$ref": "#/$defs/part"}}, "method": {"type": "string"},
  "warnings": {"$ref": "#/$defs/texts"}}},
"spread": {"type": "object", "required": ["value", "sd"], "additionalProperties": false,
  "properties": {"value": {"type": "number"}, "sd": {"type": "number", "minimum": 0}}},
"Gap": {"type": "object", "required": ["length_mm", "parts", "method", "chord_mm", "course_from", "course", "bend", "warnings"],
  "additionalProperties": false, "properties": {"length_mm": {"$ref": "#/$defs/spread"},
  "parts": {"type": "array", "items": {"$ref": "#/$defs/part"}}, "method": {"type": "string"},
  "chord_mm": {"type": "number", "exclusiveMinimum": 0}, "course_from": {"type": "string"},
  "course": {"type": "array", "minItems": 2, "items": {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}}},
  "bend": {"anyOf": [{"type": "null"}, {"type": "object", "required": ["deg", "over_45", "arm_mm"], "additionalProperties": false,
  "properties": {"deg": {"$ref": "#/$defs/spread"}, "over_45": {"$ref": "#/$defs/share"}, "arm_mm": {"type": "number", "minimum": 0}}}]},
  "warnings": {"$ref": "#/$defs/texts"}}},
"Moments": {"type": "object", "required": ["contrast", "motion_px", "of_beat", "r_waves", "suggested", "because"],
  "additionalProperties": false, "properties": {"contrast": {"type": "array", "items": {"$ref": "#/$defs/share"}},
  "motion_px": {"type": "array", "items": {"type": "number", "minimum": 0}},
  "of_beat": {"type": "array", "items": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/share"}]}},
  "r_waves": {"type": "array", "items": {"type": "integer", "minimum": 0}},
  "suggested": {"anyOf": [{"type": "null"}, {"type": "integer", "minimum": 0}]}, "because": {"type": "string", "minLength": 1}}},
"Result": {"type": "object", "required": ["id", "name", "status", "applies", "items", "notes", "sources"],
  "properties": {"totals": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/odds"}]},
  "group": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/odds"}]}, "missing": {"$ref": "#/$defs/texts"},
  "reachable": {"type": "array", "items": {"type": "number"}}, "status": {"enum": ["FULL", "CHECK", "POINTS", "HOLD"]},
  "applies": {"type": "boolean"}}},
"Assessment": {"type": "object", "required": ["seq", "scores", "waiting", "disagreement", "remarks"], "properties":
  {"seq": {"type": "integer", "minimum": 0}, "scores": {"type": "array", "items": {"$ref": "#/$defs/Result"}},
  "waiting": {"type": "object", "additionalProperties": {"$ref": "#/$defs/texts"}}}},
"Case": {"type": "object", "required": ["case", "seq", "now", "past", "facts", "channels", "images", "assessment",
  "journal", "not_understood"], "additionalProperties": false, "properties": {
  "case": {"type": "object", "required": ["id", "title", "room", "invented", "summary"]},
  "seq": {"type": "integer", "minimum": 0}, "now": {"$ref": "#/$defs/time"},
  "past": {"anyOf": [{"type": "null"}, {"type": "object", "required": ["at", "known"], "properties":
  {"at": {"$ref": "#/$defs/time"}, "known": {"type": "boolean"}}}]},
  "facts": {"type": "array", "items": {"type": "object", "required": ["name", "of", "value", "mark", "at", "by",
  "entry", "note", "origin", "because", "history"], "properties": {"value": {"$ref": "#/$defs/value"},
  "mark": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/mark"}]},
  "origin": {"anyOf": [{"type": "null"}, {"type": "object", "required": ["image", "frame", "method", "points", "parts"],
  "properties": {"points": {"type": "array", "items": {"$ref": "#/$defs/point"}},
  "strokes": {"type": "array", "items": {"type": "array", "items": {"$ref": "#/$defs/point"}}},
  "views": {"type": "array", "minItems": 1, "items": {"type": "object", "required": ["image", "frame", "method", "table", "shift_mm", "marks"],
  "properties": {"image": {"$ref": "#/$defs/hash"}, "frame": {"type": "integer", "minimum": 0}, "marks": {"type": "array", "items": {"type": "object",
  "required": ["name", "points"], "properties": {"points": {"type": "array", "items": {"$ref": "#/$defs/point"}}}}}}}},
  "parts": {"type": "array", "items": {"$ref": "#/$defs/part"}}}}]},
  "two_views": {"type": "object", "required": ["frames", "table", "marks", "paths"]}, "because": {"$ref": "#/$defs/texts"},
  "history": {"type": "array", "items": {"type": "object", "required": ["entry", "seq", "at", "recorded", "by", "value",
  "mark", "status"], "properties": {"status": {"$ref": "#/$defs/status"}, "value": {"$ref": "#/$defs/value"}}}}}}},
  "channels": {"$ref": "#/$defs/texts"},
  "images": {"type": "array", "items": {"type": "object", "required": ["hash", "label", "entry", "image",
  "calibration"], "properties": {"image": {"anyOf": [{"type": "null"}, {"$ref": "#/$defs/Image"}]}}}},
  "assessment": {"$ref": "#/$defs/Assessment"},
  "journal": {"type": "array", "items": {"type": "object", "required": ["seq", "id", "kind", "at", "recorded", "by",
  "device", "text", "amends", "status", "data"], "properties": {"status": {"$ref": "#/$defs/status"},
  "at": {"$ref": "#/$defs/time"}, "recorded": {"$ref": "#/$defs/time"}}}},
  "not_understood": {"type": "integer", "minimum": 0}}}
}
})json";

}  // namespace

std::string AnswersSchema() { return std::string(kSchema); }

// FNV-1a, 64 bits: tells one schema from another, guards nothing.
std::string SchemaHash() {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : kSchema) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 1099511628211ULL;
  }
  return fmt::format("{:016x}", hash);
}

}  // namespace fairlead
