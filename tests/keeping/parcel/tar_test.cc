// SPDX-License-Identifier: Apache-2.0
// Against tar of Debian (GNU tar), an implementation of the format from outside the project.
#include "keeping/parcel/tar.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace fairlead {
namespace {
namespace fs = std::filesystem;

struct Scratch {
  fs::path path;
  Scratch() {
    std::string name = (fs::temp_directory_path() / "fairlead-tar-XXXXXX").string();
    path = mkdtemp(name.data());
  }
  ~Scratch() { fs::remove_all(path); }
};
std::string Whole(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}
void Put(const fs::path& file, const std::string& bytes) {
  fs::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << bytes;
}
std::span<const std::uint8_t> In(const std::string& bytes) { return {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()}; }
int Shell(const std::string& command) { return std::system(command.c_str()); }

TEST(Tar, AnotherProgramUnpacksWhatIsWritten) {
  const Scratch scratch;
  const std::string small = "one line\n", nothing, block(512, 'b'), large(70'001, 'x');
  std::string archive;
  for (const auto& [name, bytes] : {std::pair<std::string, const std::string&>{"manifest.json", small}, {"images/" + std::string(64, 'a') + ".dcm", large}, {"b", block}, {"empty", nothing}})
    archive += TarHead(name, bytes.size()) + bytes + TarPadding(bytes.size());
  Put(scratch.path / "a.tar", archive + TarEnd());
  ASSERT_EQ(Shell("cd " + scratch.path.string() + " && mkdir out && tar -xf a.tar -C out"), 0);
  EXPECT_EQ(Whole(scratch.path / "out/manifest.json"), small);
  EXPECT_EQ(Whole(scratch.path / ("out/images/" + std::string(64, 'a') + ".dcm")), large);
  EXPECT_EQ(Whole(scratch.path / "out/b"), block);
  EXPECT_EQ(fs::file_size(scratch.path / "out/empty"), 0u);
}

TEST(Tar, WhatAnotherProgramPacksIsRead) {
  const Scratch scratch;
  Put(scratch.path / "in/manifest.json", "text");
  Put(scratch.path / "in/images/x.dcm", std::string(1025, 'y'));
  ASSERT_EQ(Shell("cd " + scratch.path.string() + "/in && tar --format=ustar -cf ../a.tar manifest.json images"), 0);
  const std::string archive = Whole(scratch.path / "a.tar");
  const auto members = ReadTar(In(archive), 10);
  ASSERT_TRUE(members.ok()) << Sentence(members.error());
  ASSERT_EQ(members->size(), 2u);
  EXPECT_EQ((*members)[0].name, "manifest.json");
  EXPECT_EQ(archive.substr((*members)[1].offset, (*members)[1].bytes), std::string(1025, 'y'));
}

TEST(Tar, LinksFoldersAndSpecialFilesAreRefused) {
  const Scratch scratch;
  Put(scratch.path / "in/a", "text");
  for (const char* make : {"ln -s /etc/passwd in/b", "ln in/a in/b", "mkdir in/b", "mkfifo in/b"}) {
    ASSERT_EQ(Shell("cd " + scratch.path.string() + " && rm -rf in/b && " + make + " && tar --format=ustar -cf a.tar -C in a b"), 0);
    EXPECT_FALSE(ReadTar(In(Whole(scratch.path / "a.tar")), 10).ok()) << make;
  }
}

TEST(Tar, ADamagedArchiveIsRefusedWhereverItIsCut) {
  const std::string bytes(700, 'z');
  const std::string archive = TarHead("a", bytes.size()) + bytes + TarPadding(bytes.size()) + TarEnd();
  ASSERT_TRUE(ReadTar(In(archive), 10).ok());
  for (std::size_t size = 0; size < 512 + 1024 + 512; size += 7) EXPECT_FALSE(ReadTar(In(archive.substr(0, size)), 10).ok()) << size;
  for (const std::size_t at : {0U, 50U, 100U, 124U, 130U, 156U, 257U, 300U}) {
    std::string changed = archive;
    changed[at] = static_cast<char>(changed[at] ^ 0x15);
    EXPECT_FALSE(ReadTar(In(changed), 10).ok()) << at;
  }
  std::string many;
  for (int i = 0; i < 11; ++i) many += TarHead("a", 0);
  EXPECT_FALSE(ReadTar(In(many + TarEnd()), 10).ok());
  EXPECT_FALSE(ReadTar(In(TarHead("a", 8'000'000'000ULL) + std::string(2048, 'q')), 10).ok());
}

}  // namespace
}  // namespace fairlead
