// SPDX-License-Identifier: Apache-2.0
// The dictionary told to others: as JSON for forms and commands, and as a JSON Schema for files of facts.
#pragma once

#include <string>
#include <string_view>

#include "casebook/fact.h"

namespace fairlead {

std::string_view TypeWord(FactType type);  // "flag", "grade", "count", "reading", "readings"
std::string_view GroupWord(
    FactGroup group);  // "patient", "indication", "lesion", "on CT", "distal vessel", "collateral", "procedure"

// {"facts": [Row]} as in docs/wire.md.
std::string DictionaryJson();

// JSON Schema (draft 2020-12) of one FACTS.json file, as ParseFacts takes it.
std::string FactsSchemaJson();

// {"sources": [{id, kind, citation, doi, checked, note}]}.
std::string SourcesJson();

}  // namespace fairlead
