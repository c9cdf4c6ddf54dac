// SPDX-License-Identifier: Apache-2.0
// The connections of a server: each accepted socket is read, answered and kept or closed. Two threads move bytes, three
// workers answer, two more do the slow work.
#pragma once

#include <cstddef>
#include <memory>

#include "front/server/http.h"

namespace fairlead {

class Sessions {
 public:
  virtual ~Sessions() = default;
  // Takes over an accepted socket. Beyond the limit on connections it is told so and closed.
  virtual void Welcome(int socket, bool local) = 0;
  virtual std::size_t count() const = 0;
  // Calls the service's tick on a worker.
  virtual void Tick() = 0;
  // Closes idle connections and streams, tells running requests, waits two seconds at most for their answers.
  virtual void End() = 0;
};

// Errors: the certificate or its key cannot be used.
Result<std::unique_ptr<Sessions>> OpenSessions(const ServerSettings& settings, Service service);

}  // namespace fairlead
