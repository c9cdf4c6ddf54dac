// SPDX-License-Identifier: Apache-2.0
// Inside this room only: what a store needs beside its statements.
#pragma once

#include <soci/soci.h>

#include <map>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "keeping/registry/registry_store.h"

namespace fairlead {

struct Refused : std::runtime_error {
  explicit Refused(Error said) : std::runtime_error(said.what), error(std::move(said)) {}
  Error error;
};

// --- packs.cc: packs of one lab in an open transaction.
using RowChanges = std::map<std::pair<std::string, std::string>, RowChange>;  // by lab and id
// What the changes touch, brought up to date. False: something kept cannot be read.
bool ChangePacks(soci::session& sql, bool shared, const Packer& packer, const RowChanges& changes);
KeptPacks ReadPacks(soci::session& sql, const std::string& lab, const PacksAsked& asked);
// Sums and packs of every lab from its rows; what there was is gone before.
void MakePacks(soci::session& sql, const Packer& packer);
std::vector<KeptSum> ReadSumTable(soci::session& sql, const std::string& lab);
std::vector<KeptRow> ReadRowsNamed(soci::session& sql, const std::string& lab, const std::vector<std::string>& ids);
void AddSum(soci::session& sql, const std::string& lab, const KeptSum& sum, long long sign);

inline bool IsShared(const std::string& where) { return where.starts_with("postgresql://") || where.starts_with("postgres://"); }

// Makes a transaction of a scope: rolled back unless it was committed.
class Transaction {
 public:
  // `reading`: of several questions all are answered as of one moment.
  Transaction(soci::session& sql, bool shared, bool reading = false) : sql_(sql) {
    sql_ << (reading ? (shared ? "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY" : "BEGIN") : (shared ? "BEGIN" : "BEGIN IMMEDIATE"));
  }
  ~Transaction() {
    if (done_) return;
    try {
      sql_ << "ROLLBACK";
    } catch (const std::exception&) {
      return;  // the connection is gone, and the transaction with it
    }
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void Commit() { sql_ << "COMMIT", done_ = true; }

 private:
  soci::session& sql_;
  bool done_ = false;
};

}  // namespace fairlead
