// SPDX-License-Identifier: Apache-2.0
// Connections to the port under TLS.
#include "front/server/connection_answer.h"
#include "front/server/connection_read.h"
#include "front/server/connection_stream.h"

namespace fairlead::wire {

void StartConnection(House& house, SecureWire wire) { std::make_shared<Connection<SecureWire>>(house, std::move(wire))->Start(); }

}  // namespace fairlead::wire
