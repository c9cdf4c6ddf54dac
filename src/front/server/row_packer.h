// SPDX-License-Identifier: Apache-2.0
// What the registry's tables keep of the rows so that an audit reads no JSON: practice/audit packs it, keeping/registry keeps it.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include "keeping/registry/registry_store.h"
#include "practice/audit/kept.h"
#include "practice/similar/similar.h"

namespace fairlead {

const Packer& RowPacker();

// What a store keeps of one lab, as the audit reads it. Packs of another program, or damaged, are made anew from the rows once.
// Errors: the store cannot be read or written.
Result<AuditBook> ReadBook(RegistryStore& store, const std::string& lab);
// Rows of the days that hold [since, until); sorted.
Result<PackedCases> ReadPacked(RegistryStore& store, const std::string& lab, const Slice& slice);
// The search with all of a lab's cases, but those of `gone`; no row's text is read. Errors as above.
Result<LikeSearch> SearchLike(RegistryStore& store, const std::string& lab, const LikeSearch& before, const std::set<std::string_view>& gone);
bool IsEverything(const Slice& slice);
// From the sums where everything is asked for, else from the packed rows of the slice's days.
Result<Audit> AuditOfStore(RegistryStore& store, const std::string& lab, const Slice& slice);
// The book with rows besides and without others; reads the days that they touch. Errors as above.
Status ChangeBookOf(RegistryStore& store, const std::string& lab, const RowsOutIn& change, AuditBook& book);

}  // namespace fairlead
