// SPDX-License-Identifier: Apache-2.0
// Inside this room only: what a store needs beside its statements.
#pragma once

#include <soci/soci.h>

#include <stdexcept>
#include <string>
#include <utility>

#include "keeping/registry/registry_store.h"

namespace fairlead {

struct Refused : std::runtime_error {
  explicit Refused(Error said) : std::runtime_error(said.what), error(std::move(said)) {}
  Error error;
};

inline bool IsShared(const std::string& where) { return where.starts_with("postgresql://") || where.starts_with("postgres://"); }

// Makes a transaction of a scope: rolled back unless it was committed.
class Transaction {
 public:
  Transaction(soci::session& sql, bool shared) : sql_(sql) { sql_ << (shared ? "BEGIN" : "BEGIN IMMEDIATE"); }
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
