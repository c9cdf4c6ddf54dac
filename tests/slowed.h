// SPDX-License-Identifier: Apache-2.0
// Whether a sanitizer watches this build: everything takes many times as long then, and timings mean nothing.
#pragma once

namespace fairlead {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
inline constexpr bool kSlowed = true;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
inline constexpr bool kSlowed = true;
#else
inline constexpr bool kSlowed = false;
#endif
#else
inline constexpr bool kSlowed = false;
#endif

}  // namespace fairlead
