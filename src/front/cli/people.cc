// SPDX-License-Identifier: Apache-2.0
// people add, reset, remove, list; certificate.
#include "keeping/people/people.h"

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "keeping/certificate/certificate.h"

namespace fairlead {
namespace {

// The first line of --password-from, else a new one that is shown once.
struct GivenPassword {
  std::string text;
  bool made = false;
};
Result<GivenPassword> PasswordFor(const Arguments& arguments) {
  if (arguments.password_from.empty()) return GivenPassword{NewPassword(), true};
  auto text = ReadText(arguments.password_from);
  if (!text.ok()) return text.error();
  return GivenPassword{text->substr(0, text->find_first_of("\r\n"))};
}

int Told(const Arguments& arguments, const std::string& did, const GivenPassword& password) {
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("name", arguments.person);
    if (password.made) json.Member("password", password.text);
    Print(json.Close('}').Take());
  } else {
    Print(arguments.person + " was " + did + (password.made ? "; the password, shown this once: " + password.text : ""));
  }
  return 0;
}

}  // namespace

int AddPeople(const Arguments& arguments) {
  auto role = ParseRole(arguments.role);
  if (!role.ok()) return Fail(Within("--role", role.error()));
  auto password = PasswordFor(arguments);
  if (!password.ok()) return Fail(password.error());
  if (auto added = AddPerson(arguments.data, arguments.person, *role, password->text); !added.ok()) return Fail(added.error());
  return Told(arguments, "added as " + arguments.role, *password);
}

int ResetPeople(const Arguments& arguments) {
  auto password = PasswordFor(arguments);
  if (!password.ok()) return Fail(password.error());
  if (auto reset = ResetPassword(arguments.data, arguments.person, password->text); !reset.ok()) return Fail(reset.error());
  return Told(arguments, "given a new password, and is out of every browser", *password);
}

int RemovePeople(const Arguments& arguments) {
  if (auto removed = RemovePerson(arguments.data, arguments.person); !removed.ok()) return Fail(removed.error());
  return Told(arguments, "removed", {});
}

int ListPeople(const Arguments& arguments) {
  auto people = ReadPeople(arguments.data);
  if (!people.ok()) return Fail(people.error());
  JsonText json;
  json.Open('{').Key("people").Open('[');
  std::vector<std::vector<std::string>> rows = {{"name", "role"}};
  for (const Account& person : *people) {
    json.Open('{').Member("name", person.name).Member("role", std::string(RoleName(person.role))).Close('}');
    rows.push_back({person.name, std::string(RoleName(person.role))});
  }
  json.Close(']').Close('}');
  Print(arguments.json ? json.Take() : people->empty() ? "nobody; fairlead people add NAME --role operator" : Table(rows));
  return 0;
}

int MakeCertificates(const Arguments& arguments) {
  auto made = MakeCertificate(arguments.data, arguments.names, Now());
  if (!made.ok()) return Fail(made.error());
  auto facts = ReadCertificate(made->server, made->server_key);
  if (!facts.ok()) return Fail(facts.error());
  const std::string until = ToIso(facts->until).substr(0, 10);
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("authority", made->authority.string()).Member("certificate", made->server.string());
    json.Member("key", made->server_key.string()).Member("until", until).Key("names").Open('[');
    for (const std::string& name : facts->names) json.Text(name);
    Print(json.Close(']').Close('}').Take());
    return 0;
  }
  Print("certificate  " + made->server.string() + ", until " + until + "\nkey          " + made->server_key.string() +
        "\nauthority    " + made->authority.string() + ": install this one in the lab's browsers");
  return 0;
}

}  // namespace fairlead
