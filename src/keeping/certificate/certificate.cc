// SPDX-License-Identifier: Apache-2.0
// OpenSSL's certificates, here and nowhere else.
#include "keeping/certificate/certificate.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <openssl/bio.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <ctime>
#include <memory>
#include <system_error>

namespace fairlead {
namespace {

constexpr long kAuthorityDays = 3650;
constexpr long kServerDays = 397;

template <auto Free>
struct Freed {
  template <typename T>
  void operator()(T* held) const { Free(held); }
};
using Key = std::unique_ptr<EVP_PKEY, Freed<EVP_PKEY_free>>;
using Certificate = std::unique_ptr<X509, Freed<X509_free>>;
using Extension = std::unique_ptr<X509_EXTENSION, Freed<X509_EXTENSION_free>>;
using Bio = std::unique_ptr<BIO, Freed<BIO_free_all>>;

Error Failed(std::string what, const std::filesystem::path& where) {
  return {std::move(what), where.string(), "check the file and the rights", Fault::kOutside};
}

bool IsAddress(const std::string& name) {
  in_addr ignored{};
  return ::inet_pton(AF_INET, name.c_str(), &ignored) == 1;
}

// RFC 1123 section 2.1: labels of letters, digits and hyphens.
bool IsHostName(std::string_view name) {
  if (name.empty() || name.size() > 253 || name.front() == '.' || name.back() == '.' || name.front() == '-') return false;
  return std::all_of(name.begin(), name.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '.';
  });
}

// --- Files
std::string Contents(BIO* memory) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(memory, &data);
  return {data, static_cast<std::size_t>(size)};
}

Status WriteFile(const std::filesystem::path& path, const std::string& text, mode_t mode) {
  const std::filesystem::path fresh = path.string() + ".new";
  ::unlink(fresh.c_str());
  const int fd = ::open(fresh.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
  if (fd < 0) return Failed("the file cannot be written", path);
  const bool written = ::write(fd, text.data(), text.size()) == static_cast<ssize_t>(text.size()) && ::fsync(fd) == 0;
  ::close(fd);
  if (!written || ::rename(fresh.c_str(), path.c_str()) != 0) return Failed("the file cannot be written", path);
  return Done{};
}

Status WriteKey(const std::filesystem::path& path, EVP_PKEY* key) {
  const Bio memory(BIO_new(BIO_s_mem()));
  PEM_write_bio_PrivateKey(memory.get(), key, nullptr, nullptr, 0, nullptr, nullptr);
  return WriteFile(path, Contents(memory.get()), 0600);
}

Status WriteCertificate(const std::filesystem::path& path, X509* certificate) {
  const Bio memory(BIO_new(BIO_s_mem()));
  PEM_write_bio_X509(memory.get(), certificate);
  return WriteFile(path, Contents(memory.get()), 0644);
}

Result<Key> ReadKey(const std::filesystem::path& path) {
  const Bio file(BIO_new_file(path.c_str(), "r"));
  Key key(file ? PEM_read_bio_PrivateKey(file.get(), nullptr, nullptr, nullptr) : nullptr);
  if (!key) return Failed("the private key cannot be read", path);
  return key;
}

Result<Certificate> ReadOne(const std::filesystem::path& path) {
  const Bio file(BIO_new_file(path.c_str(), "r"));
  Certificate certificate(file ? PEM_read_bio_X509(file.get(), nullptr, nullptr, nullptr) : nullptr);
  if (!certificate) return Failed("the certificate cannot be read", path);
  return certificate;
}

// --- Making
void AddExtension(X509* certificate, X509* issuer, int kind, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx(&context, issuer, certificate, nullptr, nullptr, 0);
  const Extension extension(X509V3_EXT_conf_nid(nullptr, &context, kind, value.c_str()));
  if (extension) X509_add_ext(certificate, extension.get(), -1);
}

// A certificate with a random serial number of 127 bits (RFC 5280 section 4.1.2.2: positive, at most 20 octets).
Certificate Begin(EVP_PKEY* key, const std::string& common_name, Instant now, long days) {
  Certificate certificate(X509_new());
  X509_set_version(certificate.get(), X509_VERSION_3);
  std::array<unsigned char, 16> serial{};
  RAND_bytes(serial.data(), static_cast<int>(serial.size()));
  serial[0] &= 0x7f;
  const std::unique_ptr<BIGNUM, Freed<BN_free>> number(BN_bin2bn(serial.data(), static_cast<int>(serial.size()), nullptr));
  BN_to_ASN1_INTEGER(number.get(), X509_get_serialNumber(certificate.get()));
  // An hour of grace for a tablet whose clock is behind.
  const std::time_t from = now.ms / 1000 - 3600;
  ASN1_TIME_set(X509_getm_notBefore(certificate.get()), from);
  ASN1_TIME_set(X509_getm_notAfter(certificate.get()), from + days * 86400);
  X509_set_pubkey(certificate.get(), key);
  X509_NAME* subject = X509_get_subject_name(certificate.get());
  X509_NAME_add_entry_by_txt(subject, "CN", MBSTRING_UTF8, reinterpret_cast<const unsigned char*>(common_name.c_str()), -1,
                             -1, 0);
  return certificate;
}

struct Authority {
  Key key;
  Certificate certificate;
};

Result<Authority> MakeAuthority(const CertificatePaths& paths, Instant now) {
  Authority made;
  made.key.reset(EVP_EC_gen("P-256"));
  if (!made.key) return Failed("no key can be made", paths.authority_key);
  made.certificate = Begin(made.key.get(), "Fairlead authority of this lab", now, kAuthorityDays);
  X509* certificate = made.certificate.get();
  X509_set_issuer_name(certificate, X509_get_subject_name(certificate));
  AddExtension(certificate, certificate, NID_basic_constraints, "critical,CA:TRUE,pathlen:0");
  AddExtension(certificate, certificate, NID_key_usage, "critical,keyCertSign,cRLSign");
  AddExtension(certificate, certificate, NID_subject_key_identifier, "hash");
  if (X509_sign(certificate, made.key.get(), EVP_sha256()) == 0) return Failed("the certificate cannot be signed", {});
  if (auto written = WriteKey(paths.authority_key, made.key.get()); !written.ok()) return written.error();
  if (auto written = WriteCertificate(paths.authority, certificate); !written.ok()) return written.error();
  return made;
}

Result<Authority> TheAuthority(const CertificatePaths& paths, Instant now) {
  std::error_code ignored;
  if (!std::filesystem::exists(paths.authority, ignored)) return MakeAuthority(paths, now);
  if (!std::filesystem::exists(paths.authority_key, ignored)) {
    return Error{"the authority's key is not here", paths.authority_key.string(),
                 "put it back; or remove authority.pem for a new authority, which every browser then has to be given", Fault::kOutside};
  }
  auto key = ReadKey(paths.authority_key);
  if (!key.ok()) return key.error();
  auto certificate = ReadOne(paths.authority);
  if (!certificate.ok()) return certificate.error();
  return Authority{std::move(*key), std::move(*certificate)};
}

}  // namespace

CertificatePaths CertificatesOf(const std::filesystem::path& folder) {
  const auto tls = folder / "tls";
  return {tls / "authority.pem", tls / "authority-key.pem", tls / "server.pem", tls / "server-key.pem"};
}

Result<CertificatePaths> MakeCertificate(const std::filesystem::path& folder, const std::vector<std::string>& names,
                                         Instant now) {
  if (names.empty()) return Error{"a certificate needs the names by which browsers reach the server", "--name", "give one"};
  std::string alternatives;
  for (const std::string& name : names) {
    if (!IsAddress(name) && !IsHostName(name)) {
      return Error{"this is no host name and no IPv4 address", name.substr(0, 80), "use names such as lab-2.example or 10.0.0.7"};
    }
    alternatives += (alternatives.empty() ? "" : ",") + std::string(IsAddress(name) ? "IP:" : "DNS:") + name;
  }
  const CertificatePaths paths = CertificatesOf(folder);
  std::error_code code;
  if (std::filesystem::create_directories(folder, code)) {  // the data folder: nobody else may read it
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, code);
  }
  std::filesystem::create_directories(paths.server.parent_path(), code);
  std::filesystem::permissions(paths.server.parent_path(), std::filesystem::perms::owner_all, code);
  auto authority = TheAuthority(paths, now);
  if (!authority.ok()) return authority.error();
  const Key key(EVP_EC_gen("P-256"));
  if (!key) return Failed("no key can be made", paths.server_key);
  const Certificate server = Begin(key.get(), names.front().substr(0, 64), now, kServerDays);
  X509* issuer = authority->certificate.get();
  X509_set_issuer_name(server.get(), X509_get_subject_name(issuer));
  AddExtension(server.get(), issuer, NID_basic_constraints, "critical,CA:FALSE");
  AddExtension(server.get(), issuer, NID_key_usage, "critical,digitalSignature");
  AddExtension(server.get(), issuer, NID_ext_key_usage, "serverAuth");
  AddExtension(server.get(), issuer, NID_subject_key_identifier, "hash");
  AddExtension(server.get(), issuer, NID_authority_key_identifier, "keyid:always");
  AddExtension(server.get(), issuer, NID_subject_alt_name, alternatives);
  if (X509_sign(server.get(), authority->key.get(), EVP_sha256()) == 0) return Failed("the certificate cannot be signed", {});
  if (auto written = WriteKey(paths.server_key, key.get()); !written.ok()) return written.error();
  if (auto written = WriteCertificate(paths.server, server.get()); !written.ok()) return written.error();
  return paths;
}

Result<CertificateFacts> ReadCertificate(const std::filesystem::path& path, const std::filesystem::path& key_path) {
  auto certificate = ReadOne(path);
  if (!certificate.ok()) return certificate.error();
  auto key = ReadKey(key_path);
  if (!key.ok()) return key.error();
  if (X509_check_private_key(certificate->get(), key->get()) != 1) {
    return Error{"the private key belongs to another certificate", key_path.string(), "give the pair that was made together"};
  }
  CertificateFacts facts;
  const std::unique_ptr<GENERAL_NAMES, Freed<GENERAL_NAMES_free>> names(static_cast<GENERAL_NAMES*>(
      X509_get_ext_d2i(certificate->get(), NID_subject_alt_name, nullptr, nullptr)));
  for (int i = 0; names && i < sk_GENERAL_NAME_num(names.get()); ++i) {
    const GENERAL_NAME* name = sk_GENERAL_NAME_value(names.get(), i);
    if (name->type != GEN_DNS && name->type != GEN_IPADD) continue;
    const ASN1_STRING* value = name->type == GEN_DNS ? name->d.dNSName : name->d.iPAddress;
    const auto* bytes = ASN1_STRING_get0_data(value);
    const auto size = static_cast<std::size_t>(ASN1_STRING_length(value));
    std::array<char, INET_ADDRSTRLEN> text{};
    if (name->type == GEN_DNS) facts.names.emplace_back(reinterpret_cast<const char*>(bytes), size);
    else if (size == 4) facts.names.emplace_back(::inet_ntop(AF_INET, bytes, text.data(), text.size()));
  }
  std::tm until{};
  ASN1_TIME_to_tm(X509_get0_notAfter(certificate->get()), &until);
  facts.until = {std::int64_t{::timegm(&until)} * 1000};
  return facts;
}

}  // namespace fairlead
