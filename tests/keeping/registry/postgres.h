// SPDX-License-Identifier: Apache-2.0
// A real PostgreSQL server of Debian's for the tests of one program: in a temporary folder, reached through a socket there
// and through nothing else, run by a user without rights, gone at the end.
#pragma once

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>

namespace fairlead::test {

class Postgres {
 public:
  // The one server of this program; empty `why` if it runs.
  static Postgres& Running() {
    static Postgres server;
    return server;
  }
  const std::string& why() const { return why_; }
  double seconds() const { return seconds_; }

  // An address with a schema of its own.
  std::string Fresh(const std::string& schema) {
    if (Shell("psql", "-q -c 'CREATE SCHEMA " + schema + "' postgres") != 0) why_ = "the server takes no schema";
    return "postgresql://lab:secret@/postgres?host=" + folder_.string() + "&connect_timeout=2&options=-csearch_path%3D" + schema;
  }
  // The same server by nothing but user, host and name: no query, and so no schema of its own.
  std::string Plain() const {
    std::string host;
    for (const char c : folder_.string()) host += c == '/' ? std::string("%2F") : std::string(1, c);
    return "postgresql://lab@" + host + "/postgres";
  }
  int Sql(const std::string& schema, const std::string& text) { return Shell("psql", "-q -c \"SET search_path TO " + schema + "; " + text + "\" postgres"); }

  // A file of statements, stopped at the first that fails.
  int File(const std::string& schema, const std::string& path) {
    return Shell("psql", "-q -v ON_ERROR_STOP=1 -c 'SET search_path TO " + schema + "' -f " + path + " postgres");
  }

  void Stop() {
    if (server_ > 0) ::kill(server_, SIGINT), ::waitpid(server_, nullptr, 0);
    server_ = -1;
  }
  // As if its machine had lost its power: open connections break, nothing is finished, the next start recovers.
  void Break() {
    if (server_ > 0) ::kill(server_, SIGQUIT), ::waitpid(server_, nullptr, 0);
    server_ = -1;
  }
  void Start() {
    const std::string as = ::geteuid() == 0 ? "exec setpriv --reuid=postgres --regid=postgres --clear-groups " : "exec ";
    const std::string command = as + bin_ + "postgres -D " + (folder_ / "data").string() + " -k " + folder_.string() + " -c listen_addresses= -c fsync=off -c shared_buffers=16MB >" + (folder_ / "log").string() + " 2>&1";
    server_ = ::fork();
    if (server_ == 0) ::execl("/bin/sh", "sh", "-c", command.c_str(), nullptr), ::_exit(127);
    for (int i = 0; i < 600; ++i) {
      if (Shell("pg_isready", "-q") == 0) return;
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
    }
    why_ = "the server does not answer";
  }
  ~Postgres() {
    Stop();
    std::error_code ignored;
    if (!folder_.empty()) std::filesystem::remove_all(folder_, ignored);
  }

 private:
  Postgres() {
    const auto begun = std::chrono::steady_clock::now();
    for (const char* bin : {"/usr/lib/postgresql/15/bin/", "/usr/lib/postgresql/16/bin/", "/usr/lib/postgresql/17/bin/"}) {
      if (std::filesystem::exists(std::string(bin) + "initdb")) bin_ = bin;
    }
    if (bin_.empty()) {
      why_ = "PostgreSQL is not installed: packages/test.txt names it";
      return;
    }
    char name[] = "/tmp/fairlead-pg-XXXXXX";
    folder_ = ::mkdtemp(name);
    std::filesystem::permissions(folder_, std::filesystem::perms::all);
    const std::string as = ::geteuid() == 0 ? "setpriv --reuid=postgres --regid=postgres --clear-groups " : "";
    const std::string data = (folder_ / "data").string();
    if (std::system((as + bin_ + "initdb -D " + data + " -A trust -U lab --no-sync --no-locale -E UTF8 >" + (folder_ / "made").string() + " 2>&1").c_str()) != 0) {
      why_ = "initdb failed";
      return;
    }
    Start();
    seconds_ = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
  }
  int Shell(const std::string& program, const std::string& arguments) {
    return std::system((bin_ + program + " -h " + folder_.string() + " -U lab " + arguments + " >/dev/null 2>&1").c_str());
  }

  std::string bin_, why_;
  std::filesystem::path folder_;
  pid_t server_ = -1;
  double seconds_ = 0;
};

}  // namespace fairlead::test
