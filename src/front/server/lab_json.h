// SPDX-License-Identifier: Apache-2.0
// The lab's knowledge as docs/wire.md has it.
#pragma once

#include <string>

#include "casebook/knowledge.h"

namespace fairlead {

// {"name", "owner", "version", "at", "recorded", "by", "entry", "seq", "hash", "text"}.
std::string KnowledgeTextJson(const KnowledgeText& text);

// {"seq", "not_understood", "knowledge": [those]}.
std::string KnowledgeJson(const Knowledge& knowledge);

}  // namespace fairlead
