// SPDX-License-Identifier: Apache-2.0
// Connections through the socket in the data folder.
#include "front/server/connection_answer.h"
#include "front/server/connection_read.h"
#include "front/server/connection_stream.h"

namespace fairlead::wire {

void StartConnection(House& house, LocalWire wire) { std::make_shared<Connection<LocalWire>>(house, std::move(wire))->Start(); }

}  // namespace fairlead::wire
