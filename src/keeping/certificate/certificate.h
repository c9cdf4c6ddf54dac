// SPDX-License-Identifier: Apache-2.0
// A lab's own certificate authority, and the certificate of its server, for browsers in the lab. The authority signs
// nothing but this server; install authority.pem in the tablets, keep authority-key.pem where nobody else reads it.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

struct CertificatePaths {
  std::filesystem::path authority, authority_key, server, server_key;  // PEM; keys have mode 0600
};
CertificatePaths CertificatesOf(const std::filesystem::path& folder);  // in DATA/tls

// Makes the authority if there is none (ten years), then the server's certificate (397 days, the longest that browsers
// take from a public authority: CA/Browser Forum Baseline Requirements 6.3.2), for host names and IPv4 addresses.
// Elliptic curve P-256, SHA-256. Errors: no name; a name with other letters than a host's; the disk.
Result<CertificatePaths> MakeCertificate(const std::filesystem::path& folder, const std::vector<std::string>& names,
                                         Instant now);

struct CertificateFacts {
  std::vector<std::string> names;  // host names and IPv4 addresses of subjectAltName (RFC 5280 section 4.2.1.6)
  Instant until;
};
// Errors: the file is not there or no PEM certificate; the key is another's.
Result<CertificateFacts> ReadCertificate(const std::filesystem::path& certificate, const std::filesystem::path& key);

}  // namespace fairlead
