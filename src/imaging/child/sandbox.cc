// SPDX-License-Identifier: Apache-2.0
#include "imaging/child/sandbox.h"

#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sched.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>

#include <array>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <vector>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define FAIRLEAD_SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define FAIRLEAD_SANITIZED 1
#endif
#endif

namespace fairlead {
namespace {

#ifdef FAIRLEAD_SANITIZED
constexpr bool kSanitized = true;
#else
constexpr bool kSanitized = false;
#endif

#if defined(__x86_64__)
constexpr std::uint32_t kMachine = AUDIT_ARCH_X86_64;
#elif defined(__aarch64__)
constexpr std::uint32_t kMachine = AUDIT_ARCH_AARCH64;
#else
constexpr std::uint32_t kMachine = 0;  // no filter of system calls here
#endif

constexpr auto kAllowed = std::to_array<long>({
    __NR_read, __NR_write, __NR_pread64, __NR_pwrite64, __NR_lseek, __NR_close, __NR_fstat, __NR_ftruncate,
    __NR_mmap, __NR_munmap, __NR_mprotect, __NR_mremap, __NR_madvise, __NR_brk, __NR_membarrier,
    __NR_futex, __NR_set_robust_list, __NR_rseq, __NR_sched_yield, __NR_sched_getaffinity,
    __NR_rt_sigaction, __NR_rt_sigprocmask, __NR_rt_sigreturn, __NR_sigaltstack,
    __NR_getpid, __NR_gettid, __NR_tgkill, __NR_getrandom, __NR_clock_gettime, __NR_clock_nanosleep, __NR_nanosleep,
    __NR_exit, __NR_exit_group,
});

constexpr sock_filter Load(std::size_t offset) { return BPF_STMT(BPF_LD | BPF_W | BPF_ABS, static_cast<std::uint32_t>(offset)); }
constexpr sock_filter Answer(std::uint32_t action) { return BPF_STMT(BPF_RET | BPF_K, action); }
constexpr sock_filter SkipUnless(std::uint32_t value) { return BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, value, 0, 1); }

// Everything else fails as if it were forbidden; clone3 as if it were unknown, so that the C library falls back to
// clone, whose flags can be looked at: threads only.
std::vector<sock_filter> Program() {
  std::vector<sock_filter> program = {
      Load(offsetof(seccomp_data, arch)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, kMachine, 1, 0),
      Answer(SECCOMP_RET_KILL_PROCESS),
      Load(offsetof(seccomp_data, nr)),
  };
  for (const long call : kAllowed) {
    program.push_back(SkipUnless(static_cast<std::uint32_t>(call)));
    program.push_back(Answer(SECCOMP_RET_ALLOW));
  }
  program.push_back(SkipUnless(__NR_clone3));
  program.push_back(Answer(SECCOMP_RET_ERRNO | ENOSYS));
  program.push_back(BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, __NR_clone, 0, 3));
  program.push_back(Load(offsetof(seccomp_data, args)));  // the flags, low word
  program.push_back(BPF_JUMP(BPF_JMP | BPF_JSET | BPF_K, CLONE_THREAD, 0, 1));
  program.push_back(Answer(SECCOMP_RET_ALLOW));
  program.push_back(Answer(SECCOMP_RET_ERRNO | EPERM));
  return program;
}

bool Limit(__rlimit_resource what, std::size_t value) {
  const rlimit limit{value, value};
  return setrlimit(what, &limit) == 0;
}

Error Refused(const char* what) {
  return {"the child that reads files could not be enclosed", what, "see that the kernel allows resource limits and seccomp", Fault::kOutside};
}

}  // namespace

Status EncloseSelf(const Fence& fence) {
  if (!Limit(RLIMIT_CORE, 0) || !Limit(RLIMIT_FSIZE, fence.output_bytes) || !Limit(RLIMIT_CPU, fence.cpu_seconds)) {
    return Refused("resource limits");
  }
  if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return Refused("privileges");
  if (kSanitized) return Done{};
  constexpr std::size_t kOpenFiles = 6;  // standard streams, file, output, report: no further one can be opened
  if (!Limit(RLIMIT_NOFILE, kOpenFiles) || !Limit(RLIMIT_AS, fence.memory_bytes)) return Refused("resource limits");
  if (kMachine == 0) return Done{};
  std::vector<sock_filter> filter = Program();
  const sock_fprog program{static_cast<unsigned short>(filter.size()), filter.data()};
  if (prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program, 0, 0) != 0) return Refused("system calls");
  return Done{};
}

}  // namespace fairlead
