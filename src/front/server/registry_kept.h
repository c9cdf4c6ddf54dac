// SPDX-License-Identifier: Apache-2.0
// The practice's visits as rows of a registry store, and back; what of them leaves the lab.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "keeping/registry/outbox.h"
#include "keeping/registry/registry_store.h"
#include "practice/registry/registry.h"

namespace fairlead {

// The lab's own rows stand under this name in its own file.
inline constexpr const char* kOwnLab = "own";

KeptRow KeptRowOf(const LabVisit& visit);
// Nothing where the body is no row.
std::optional<CaseRow> CaseRowOf(const KeptRow& row);
std::vector<KeptSum> SumsOfKept(const KeptRow& row);
KeptSum SumOfRow(const CaseRow& row);
// Without the operator, and with the day alone of when it began: what other labs need not know.
KeptRow LeavingRow(const KeptRow& row);

// DATA/registry.sqlite, with sums and an outbox.
Result<std::unique_ptr<RegistryStore>> OpenOwnRegistry(const std::filesystem::path& data);
// A shared one; a database that does not answer is given up after seconds, unless the address says otherwise.
Status CheckSharedAddress(const std::string& address);
Result<std::unique_ptr<RegistryStore>> OpenSharedRegistry(const std::string& address);

// --- Cases from before, too many for the lab's knowledge: DATA/past.sqlite, with sums and no outbox.
inline constexpr const char* kPastLab = "past";
Result<std::unique_ptr<RegistryStore>> OpenPast(const std::filesystem::path& data);
// Puts rows in; one that is there under its id is replaced. `at` is now: a later import counts. Gives how many were written.
Result<std::size_t> ImportPast(const std::filesystem::path& data, const std::vector<CaseRow>& rows, Instant at);
// All of them; none where nothing was imported. Errors: the file cannot be read.
Result<std::vector<CaseRow>> ImportedPast(const std::filesystem::path& data);
bool HasPast(const std::filesystem::path& data);
// Changes whenever the file was written to.
std::string PastStamp(const std::filesystem::path& data);

// --- Both together as one checked text file, and back. A row of the copy that is older than the one that is there changes nothing.
Result<RegistryCopy> BackUpKeptRows(const std::filesystem::path& data, const std::string& file);
Result<RegistryCopy> RestoreKeptRows(const std::filesystem::path& data, const std::string& file);

// Writes what is new of the registry; a row whose visit is gone (its end was withdrawn, its journal cannot be understood)
// is taken out. Gives how many rows were written.
Result<std::size_t> KeepRegistry(RegistryStore& own, const Registry& registry);

}  // namespace fairlead
