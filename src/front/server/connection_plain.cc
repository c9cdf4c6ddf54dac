// SPDX-License-Identifier: Apache-2.0
// Connections to the port.
#include "front/server/connection_answer.h"
#include "front/server/connection_read.h"
#include "front/server/connection_stream.h"

namespace fairlead::wire {

void StartConnection(House& house, PlainWire wire) { std::make_shared<Connection<PlainWire>>(house, std::move(wire))->Start(); }

}  // namespace fairlead::wire
