// SPDX-License-Identifier: Apache-2.0
// CLI11, here and nowhere else.
#include <CLI/CLI.hpp>
#include <cstdlib>
#include <iostream>

#include "casebook/log/log_line.h"
#include "front/cli/command.h"

namespace fairlead {
namespace {

std::filesystem::path DefaultFolder() {
  if (const char* data = std::getenv("XDG_DATA_HOME"); data != nullptr && *data != '\0') {
    return std::filesystem::path(data) / "fairlead";
  }
  const char* home = std::getenv("HOME");
  return std::filesystem::path(home == nullptr ? "/" : home) / ".local" / "share" / "fairlead";
}

class Line {
 public:
  explicit Line(Arguments& arguments) : arguments_(arguments) {
    app_.description("Fairlead: from angiogram runs and facts with their uncertainty to published scores.\n"
                     "Decision support for trained operators; local protocols and the responsible physician decide.");
    app_.set_version_flag("--version", std::string("fairlead ") + kVersion);
    app_.require_subcommand(1);
    AddServing();
    AddPeople();
    AddCases();
    AddLab();
    AddReading();
    AddImages();
    AddViews();
    AddSkin();
    AddIvus();
    AddKit();
    AddAudit();
    AddRegistry();
    AddReport();
    AddBudgets();
  }

  Parsed Parse(int argc, char** argv) {
    try {
      app_.parse(argc, argv);
    } catch (const CLI::Success& asked) {  // --help, --version
      return {app_.exit(asked, std::cout, std::cerr), arguments_};
    } catch (const CLI::ParseError& error) {
      std::cerr << "fairlead: " << error.what() << ": see fairlead --help\n";
      return {2, arguments_};
    }
    arguments_.data_given = !arguments_.data.empty();
    if (!arguments_.data_given) arguments_.data = DefaultFolder();
    return {std::nullopt, arguments_};
  }

 private:
  // A command and the options that every command has.
  CLI::App* Add(CLI::App& above, const std::string& name, const std::string& does, const std::string& full) {
    CLI::App* command = above.add_subcommand(name, does);
    command->add_option("--data", arguments_.data, "the data folder")->type_name("DIR");
    command->add_flag("--json", arguments_.json, "one JSON document on standard output");
    command->callback([this, full] { arguments_.command = full; });
    return command;
  }
  CLI::App* Add(const std::string& name, const std::string& does) { return Add(app_, name, does, name); }
  CLI::App* Group(const std::string& name, const std::string& does) {
    CLI::App* group = app_.add_subcommand(name, does);
    group->require_subcommand(1);
    return group;
  }
  void TakeCase(CLI::App* command) {
    command->add_option("CASE", arguments_.case_id, "id of the case, or its first letters")->required();
  }
  void TakeFiles(CLI::App* command, const std::string& what, int most) {
    auto* option = command->add_option("FILES", arguments_.files, what)->required();
    if (most > 0) option->expected(1, most);
  }

  void AddServing() {
    CLI::App* demo = Add("demo", "serve the invented practice (in a temporary folder, unless --data is given)");
    CLI::App* serve = Add("serve", "serve the data folder to this computer's browser");
    for (CLI::App* command : {demo, serve}) {
      command->add_option("--port", arguments_.port, "first port to try")->check(CLI::Range(0, 65535))->capture_default_str();
      command->add_option("--web", arguments_.web, "the page's files, while working on them")->type_name("DIR");
    }
    serve->add_option("--listen", arguments_.listen, "where to listen; beyond 127.0.0.1 only with TLS and people")
        ->type_name("HOST:PORT");
    serve->add_option("--tls-cert", arguments_.tls_certificate, "certificate, PEM (default: of fairlead certificate)")
        ->type_name("F");
    serve->add_option("--tls-key", arguments_.tls_key, "its private key, PEM")->type_name("F");
    CLI::Option* outbox = serve->add_option("--outbox", arguments_.audit.to, "shared registry that rows are sent to: postgresql://USER@HOST/NAME (or in FAIRLEAD_OUTBOX)")->envname("FAIRLEAD_OUTBOX")->type_name("ADDRESS");
    serve->add_option("--as", arguments_.audit.as, "with --outbox: this lab's name there")->type_name("LAB")->needs(outbox);
    Add("address", "a new address from the running program; it lets one browser in, once");
  }

  void AddPeople() {
    CLI::App* people = Group("people", "who may come in from other computers");
    Add(*people, "list", "names and roles", "people list");
    CLI::App* added = Add(*people, "add", "a new person; prints a password", "people add");
    added->add_option("--role", arguments_.role, "reader, recorder, operator or administrator")->required();
    CLI::App* reset = Add(*people, "reset", "a new password", "people reset");
    CLI::App* removed = Add(*people, "remove", "takes a person off the list", "people remove");
    for (CLI::App* command : {added, reset, removed}) {
      command->add_option("NAME", arguments_.person, "initials or a short name")->required();
    }
    for (CLI::App* command : {added, reset}) {
      command->add_option("--password-from", arguments_.password_from, "its first line is the password; - is standard input")
          ->type_name("FILE");
    }
    CLI::App* certificate = Add("certificate", "this lab's authority and its server's certificate");
    certificate->add_option("--name", arguments_.names, "host name or IPv4 address of this computer; several may be given")
        ->required();
  }

  void AddCases() {
    CLI::App* group = Group("case", "cases");
    CLI::App* made = Add(*group, "new", "open a case", "case new");
    made->add_option("--title", arguments_.title, "one line, without names")->required();
    made->add_option("--room", arguments_.room, "the room");
    Add(*group, "list", "list the cases", "case list");
    TakeCase(Add(*group, "show", "what is known of a case", "case show"));
    CLI::App* out = Add(*group, "export", "the whole case as a folder: journal, what the lab knew, images by hash", "case export");
    TakeCase(out);
    out->add_option("-o,--out", arguments_.out, "folder to make, or a file that ends in .tar")->required()->type_name("PATH");
    CLI::App* bare = Add(*group, "deidentify", "the case as a folder without names: typed words removed, dates moved, pictures rebuilt and masked; only pictures that somebody has looked at", "case deidentify");
    TakeCase(bare);
    bare->add_option("-o,--out", arguments_.out, "folder to make, or a file that ends in .tar")->required()->type_name("PATH");
    bare->add_option("--project", arguments_.name, "whose key makes the stand-ins (default): the same key joins cases, a lost key cuts the link")->type_name("NAME");
    bare->add_option("--mask", arguments_.report.mask, "a name that must not appear; again for each")->type_name("WORD");
    bare->add_option("--keep-word", arguments_.report.keep, "a word that was taken out as a possible name and is none; again for each")->type_name("WORD");
    bare->add_option("--keep", arguments_.only, "teaching: notes that begin with lesson:, speaker: or report:, searched for names, days and numbers")->check(CLI::IsMember({"teaching"}));
    CLI::App* facts = Add(*group, "facts", "age, sex, creatinine, haemoglobin, ejection fraction, weight and height from a FHIR R4 file", "case facts");
    TakeCase(facts);
    TakeFiles(facts, "a Bundle, Patient or Observation as JSON", 1);
    facts->add_option("--by", arguments_.by, "initials or role of who takes them over")->type_name("NAME");
    facts->add_flag("--preview", arguments_.proposal, "show what would be written, and write nothing");
    TakeFiles(Add(*group, "import", "take a case in that was exported, once every byte is verified", "case import"), "a folder or a .tar file of fairlead case export", 1);

    CLI::App* log = Add("log", "add an entry to a case's journal");
    TakeCase(log);
    log->add_option("TEXT", arguments_.text, "one entry, as below")->required();
    log->add_option("--at", arguments_.at, "when it happened, ISO 8601 with a zone")->type_name("TIME");
    log->add_option("--by", arguments_.by, "initials or role of who says so")->type_name("NAME");
    log->add_flag("--confirm", arguments_.confirm, "write it although it was asked about");
    log->footer(LogHelp());
    TakeCase(Add("journal", "list a case's entries"));
    TakeCase(Add("verify", "check the chain of a case's journal"));
  }

  void AddLab() {
    CLI::App* group = Group("lab", "the lab's knowledge: shelf, limits, rules, priors");
    CLI::App* show = Add(*group, "show", "what the lab knows, or one text of it", "lab show");
    show->add_option("NAME", arguments_.name, "one text, as it is written");
    show->add_option("--at", arguments_.at, "as it was known at that moment")->type_name("TIME");
    CLI::App* set = Add(*group, "set", "write a text; the newest of its name counts", "lab set");
    set->add_option("NAME", arguments_.name, "shelf, limits, ...")->required();
    TakeFiles(set, "FILE.json with one object, or - for standard input", 1);
    set->add_option("--owner", arguments_.owner, "role that answers for it, no names")->type_name("ROLE");
    set->add_option("--version", arguments_.version, "the owner's own; else today's date")->type_name("TEXT");
    CLI::App* withdraw = Add(*group, "withdraw", "take the newest text out; the one before counts again", "lab withdraw");
    withdraw->add_option("NAME", arguments_.name, "shelf, limits, ...")->required();
    withdraw->add_option("--reason", arguments_.reason, "why")->required();
    for (CLI::App* command : {set, withdraw}) {
      command->add_option("--at", arguments_.at, "from when it holds, ISO 8601 with a zone")->type_name("TIME");
      command->add_option("--by", arguments_.by, "initials or role of who says so")->type_name("NAME");
    }
  }

  void AddReading() {
    CLI::App* assess = Add("assess", "everything computed from a case");
    TakeCase(assess);
    assess->add_option("--at", arguments_.at, "as it was at that moment")->type_name("TIME");
    assess->add_flag("--known", arguments_.known, "as it was known at that moment");
    Add("facts", "the dictionary of facts");
    CLI::App* score = Add("score", "the published scores on a file of facts");
    TakeFiles(score, "FACTS.json, or - for standard input", 1);
    score->add_option("--only", arguments_.only, "one score")->type_name("ID");
    CLI::App* ladder = Add("ladder", "which way, and when to change: strategies in order, for a file of facts");
    ladder->add_option("FILES", arguments_.files, "FACTS.json, or - for standard input; or the word learn: what one's own attempts make of the published priors")->expected(0, 1);
    ladder->add_flag("--proposal", arguments_.proposal, "of learn: the priors that it proposes, as a text for fairlead lab set priors");
    ladder->add_option("--model", arguments_.model, "the solver alone, on a model")->type_name("FILE.json");
    ladder->add_option("--budget", arguments_.budget, "limits of the session, skills, what was tried")->type_name("FILE.json");
    ladder->add_option("--priors", arguments_.priors, "the lab's own figures in place of the published")->type_name("FILE.json");
    ladder->add_flag("--print-priors", arguments_.print_priors, "print every prior with its spread and source");
  }

  void AddImages() {
    CLI::App* xa = Group("xa", "angiogram runs");
    TakeFiles(Add(*xa, "show", "what a file says of itself", "xa show"), "a DICOM file", 1);
    AddTrace(*Add(*xa, "trace", "a vessel through two or more points: course, edges, diameters, length", "xa trace"));
    Add(*xa, "pair", "3D from two runs: A B POINTS.json", "xa pair")->add_option("FILES", arguments_.files, "two DICOM files and the points marked in them")->required()->expected(3);
    CLI::App* image = Group("image", "images of a case");
    CLI::App* import = Add(*image, "import", "take files or folders into a case", "image import");
    TakeCase(import);
    TakeFiles(import, "files and folders", 0);
    CLI::App* phantom = Group("phantom", "synthetic images with their truth");
    CLI::App* made = Add(*phantom, "xa", "synthetic angiogram runs, with truth.json beside them", "phantom xa");
    made->add_option("-o,--out", arguments_.out, "folder to write to")->required()->type_name("DIR");
    made->add_option("--seed", arguments_.seed, "of the random numbers")->capture_default_str();
    made->add_option("--scene", arguments_.scene, "which heart and occlusion")->type_name("NAME");
    made->add_option("--grade", arguments_.grade, "clean, typical or poor")->capture_default_str();
    made->add_option("--bits", arguments_.bits, "bits stored")->check(CLI::IsMember({8, 12}))->capture_default_str();
    CLI::App* pullback = Add(*phantom, "ivus", "a synthetic ultrasound pullback, with truth.json beside it", "phantom ivus");
    pullback->add_option("-o,--out", arguments_.out, "folder to write to")->required()->type_name("DIR");
    pullback->add_option("--seed", arguments_.seed, "of the random numbers")->capture_default_str();
    pullback->add_option("--scene", arguments_.scene, "open, plaque, plaque-far-outside, outside, outside-far-outside, reentry, lumen, entry")->type_name("NAME");
    pullback->add_option("--grade", arguments_.grade, "clean, typical or poor")->capture_default_str();
    pullback->add_option("--frames", arguments_.ivus.frames, "number of frames")->check(CLI::Range(1, 4000))->capture_default_str();
    pullback->add_option("--size", arguments_.ivus.size, "rows and columns; the picture is 10 mm wide")->check(CLI::Range(64, 1024))->capture_default_str();
    pullback->add_flag("--backwards", arguments_.ivus.backwards, "the catheter goes forward instead of back");
    pullback->add_flag("--stent", arguments_.ivus.stent, "with a stent, in scene open");
    pullback->add_flag("--saturated", arguments_.ivus.saturated, "every second frame far too bright");
    pullback->add_flag("--uncalibrated", arguments_.ivus.uncalibrated, "the file does not say how large a pixel is");
    CLI::App* dose = Add(*phantom, "rdsr", "an invented dose report, with truth.json beside it", "phantom rdsr");
    dose->add_option("-o,--out", arguments_.out, "folder to write to")->required()->type_name("DIR");
    dose->add_option("--seed", arguments_.seed, "of the random numbers")->capture_default_str();
    dose->add_option("--events", arguments_.skin.count, "how many")->check(CLI::Range(1, 20000))->capture_default_str();
    dose->add_option("--fault", arguments_.skin.faults, "a fault that reports from the field show; again for more")->type_name("NAME");
  }

  void AddTrace(CLI::App& trace) {
    auto& given = arguments_.trace;
    TakeFiles(&trace, "a DICOM file", 1);
    trace.add_option("--frame", given.frame, "counted from 0; the fullest if none is given")->type_name("N")->check(CLI::NonNegativeNumber);
    // One value each time, so that a file may follow.
    const auto places = [&trace](const char* name, std::vector<std::string>& into, const char* what, const char* shape) {
      return trace.add_option(name, into, what)->type_name(shape)->expected(1)->allow_extra_args(false)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    };
    places("--through", given.through, "a point of the vessel in pixels; two or more, in order", "x,y")->required();
    places("--catheter", given.catheter, "a point on a catheter's shaft; two, for the scale", "x,y");
    trace.add_option("--french", given.french, "the catheter's labelled outer diameter")->capture_default_str();
    trace.add_option("--pixel", given.pixel_mm, "size of a pixel in the vessel's plane, mm")->check(CLI::PositiveNumber);
    trace.add_option("--pixel-sd", given.pixel_sd_mm, "its standard deviation, mm")->check(CLI::NonNegativeNumber);
    places("--healthy", given.healthy, "a stretch held for healthy, mm from the first point", "FROM:TO");
    trace.add_flag("--as-clicked", given.as_clicked, "do not move the points to the nearest vessel");
  }

  void AddViews() {
    CLI::App* views = app_.add_subcommand("views", "working views of a tree; projection and foreshortening of one view");
    auto& given = arguments_.views;
    views->require_subcommand(0, 1);
    views->add_flag("--json", arguments_.json, "one JSON document on standard output");
    views->add_option("TREE", given.tree, "vessels and the segment to be seen, as JSON: see docs/methods-views.md")->type_name("TREE.json");
    views->add_option("--skin", given.skin, "dose report or events so far")->type_name("FILE");
    views->add_option("--gantry", given.gantry, "the lab's own reach and forbidden zones")->type_name("FILE.json");
    views->add_option("--primary", given.primary_range, "LAO and RAO as far as, degrees")->capture_default_str();
    views->add_option("--secondary", given.secondary_range, "CRA and CAU as far as, degrees")->capture_default_str();
    views->add_option("--step", given.step, "of the map, degrees")->capture_default_str();
    views->add_option("--now", given.now, "the view in use: LAO45/CRA25");
    views->add_option("--spare-below", given.spare_below, "skin with at least so many Gy is left; half of the peak by default")->type_name("GY");
    views->callback([this, views] {
      if (views->get_subcommands().empty()) arguments_.command = "views";
    });
    CLI::App* project = Add(*views, "project", "where points are seen", "views project");
    project->add_option("POINTS", given.points, "x,y,z in millimetres from the isocentre: left, back, head")->required();
    CLI::App* shortened = Add(*views, "short", "how much of a segment's length a view hides", "views short");
    shortened->add_option("--from", given.from, "one end")->required()->type_name("x,y,z");
    shortened->add_option("--to", given.to, "the other end")->required()->type_name("x,y,z");
    for (CLI::App* command : {project, shortened}) {
      command->add_option("--view", given.view, "LAO45/CRA25")->required();
      command->add_option("--sid", given.sid, "source to detector, mm")->capture_default_str();
      command->add_option("--sod", given.sod, "source to isocentre, mm")->capture_default_str();
      command->add_option("--spacing", given.spacing, "of the detector's pixels, mm")->capture_default_str();
      command->add_option("--matrix", given.matrix, "columns x rows")->capture_default_str();
    }
  }

  void AddSkin() {
    CLI::App* skin = Add("skin", "dose reports to a map of the skin, its peak and the follow-up band");
    auto& given = arguments_.skin;
    skin->add_option("FILES", arguments_.files, "dose reports (DICOM) or their folder; runs where there is none");
    skin->add_option("--events", given.events, "events as JSON: see docs/methods-skin.md")->type_name("FILE.json");
    skin->add_option("--earlier", given.earlier, "report or events of an earlier procedure, added in by its day")->type_name("FILE");
    skin->add_option("--height", given.height_cm, "of the patient, cm");
    skin->add_option("--weight", given.weight_kg, "of the patient, kg");
    skin->add_flag("--arms-down", given.arms_down, "the arms lie beside the trunk");
    skin->add_option("-o,--out", given.out, "write the whole map there")->type_name("MAP.json");
  }

  void AddReport() {
    CLI::App* report = Add("report", "the report of the case's last visit: words, PDF, HTML; signs it");
    TakeCase(report);
    auto& given = arguments_.report;
    report->add_option("-o,--out,--pdf", given.out, "FILE.pdf, .html, .txt or .json; without it the words are printed")->type_name("FILE");
    report->add_option("--letter", given.letter, "FILE.pdf or .html: one page in plain words, for patient and referring doctor")->type_name("FILE");
    report->add_option("--paper", given.paper, "of the PDF")->check(CLI::IsMember({"a4", "letter"}))->capture_default_str();
    report->add_option("--zone", given.zone_min, "of the times printed, minutes east of UTC")->check(CLI::Range(-840, 840))->type_name("MIN");
    report->add_option("--at", arguments_.at, "as it was at that moment")->type_name("TIME");
    report->add_flag("--known", arguments_.known, "as it was known at that moment");
    report->add_flag("--sign", given.sign, "sign it as it reads now");
    report->add_option("--by", arguments_.by, "who signs")->type_name("NAME");
    CLI::App* lesson = Add("lesson", "a teaching page from a case: decisions before what was done, nobody recognisable");
    TakeCase(lesson);
    lesson->add_option("-o,--out", given.out, "the page to write")->required()->type_name("FILE.html");
    CLI::App* exchange = Add("exchange", "the visit for another system: a FHIR R4 bundle, the report as a DICOM object, or rows of the registry");
    TakeCase(exchange);
    exchange->add_flag("--fhir", given.fhir, "a FHIR R4 bundle");
    exchange->add_flag("--dicom", given.dicom, "the report's PDF in a DICOM object");
    exchange->add_flag("--sr", given.sr, "the measurements as a DICOM structured report");
    exchange->add_flag_callback("--csv", [this] { arguments_.only = "csv"; }, "a folder of CSV tables: its row of the registry, attempts, devices, troubles, and the dictionary of their columns");
    exchange->add_option("-o,--out", given.out, "the file to write; of --csv the folder")->required()->type_name("FILE");
    exchange->add_option("--zone", given.zone_min, "of the times printed, minutes east of UTC")->check(CLI::Range(-840, 840))->type_name("MIN");
    lesson->add_option("--mask", given.mask, "a name or word that must not appear; again for each")->type_name("WORD");
    lesson->add_option("--keep-word", given.keep, "a word that was taken out as a possible name and is none; again for each")->type_name("WORD");
  }

  void AddAudit() {
    CLI::App* audit = Add("audit", "the practice's own figures, with their intervals");
    auto& given = arguments_.audit;
    audit->add_option("FILE", arguments_.files, "a file of rows; without one, the journals' cases and the lab's past cases")->expected(0, 1);
    audit->add_option("--since", given.since, "began on that day or later")->type_name("DAY");
    audit->add_option("--until", given.until, "began before that day")->type_name("DAY");
    audit->add_option("--by", arguments_.by, "one operator, as the rows write them")->type_name("NAME");
    audit->add_option("--vessel", given.vessel, "LAD, LCX, RCA, ...");
    audit->add_option("--strategy", given.strategy, "tried first");
    audit->add_option("--j-cto-from", given.j_cto_from, "this J-CTO total or above")->check(CLI::Range(0, 5))->type_name("TOTAL");
    audit->add_option("--j-cto-to", given.j_cto_to, "this J-CTO total or below")->check(CLI::Range(0, 5))->type_name("TOTAL");
    audit->add_flag("--first-attempts", given.first_attempts, "only occlusions that nobody had tried to open before");
    CLI::Option* from = audit->add_option("--from", given.to, "one's own rows in a shared registry, in place of those here: postgresql://USER@HOST/NAME")->type_name("ADDRESS");
    CLI::Option* as = audit->add_option("--as", given.as, "with --from: this lab's name there")->type_name("LAB")->needs(from);
    from->needs(as);
    audit->callback([this, audit] { if (audit->get_subcommands().empty()) arguments_.command = "audit"; });
    CLI::App* like = Add(*audit, "like", "the nearest past cases of a case: what was done, what happened", "audit like");
    TakeCase(like);
    like->add_option("--most", given.most, "how many to show")->check(CLI::Range(1, 50))->capture_default_str();
  }

  void AddRegistry() {
    CLI::App* group = Group("registry", "the practice's visits as rows, derived from the journals");
    CLI::App* show = Add(*group, "show", "every closed visit, or those of one case", "registry show");
    show->add_option("CASE", arguments_.case_id, "id of a case, or its first letters");
    Add(*group, "rebuild", "make the kept rows and their sums again from the journals", "registry rebuild");
    CLI::App* send = Add(*group, "send", "send what waits to a registry that labs share", "registry send");
    CLI::App* shared = Add(*group, "shared", "figures of the labs that share one, small numbers starred", "registry shared");
    for (CLI::App* command : {send, shared}) {
      command->add_option("--to", arguments_.audit.to, "postgresql://USER@HOST/NAME (or in FAIRLEAD_REGISTRY)")->envname("FAIRLEAD_REGISTRY")->required()->type_name("ADDRESS");
      command->add_option("--as", arguments_.audit.as, "this lab's name there: small letters, digits and -")->required()->type_name("LAB");
    }
    CLI::App* backup = Add(*group, "backup", "a copy of the kept rows as one checked text file", "registry backup");
    backup->add_option("-o,--out", arguments_.out, "file to write")->required()->type_name("FILE");
    TakeFiles(Add(*group, "restore", "put a checked copy back", "registry restore"), "a copy", 1);
    TakeFiles(Add(*group, "import", "cases from before, too many for the lab's knowledge: they stay in this folder", "registry import"), "rows as past-cases has them, at most 8 MiB a file", 0);
    CLI::App* out = Add(*group, "export", "tables as CSV files, with a dictionary of their columns", "registry export");
    out->add_option("-o,--out", arguments_.out, "folder to write to")->required()->type_name("DIR");
  }

  void AddIvus() {
    CLI::App* ivus = Add("ivus", "an ultrasound pullback's borders and wires; two wires that will not meet, and the balloon sizes that the rule allows");
    auto& given = arguments_.ivus;
    ivus->add_option("FILE", given.file, "a DICOM ultrasound pullback; without it, the values below are enough");
    ivus->add_option("--pixel", given.pixel, "size of a pixel, where the file does not say")->type_name("MM");
    ivus->add_option("--speed", given.speed, "of the pullback, where the file does not say")->type_name("MM/S");
    ivus->add_option("--marks", given.marks, "points that borders pass and places of wires, of a file: docs/wire.md, POST /api/pullback")->type_name("JSON");
    ivus->add_option("--near", given.near_wire, "space of the wire from the vessel's own ostium: lumen, plaque, outside, unknown, or chances")
        ->type_name("SPACE");
    ivus->add_option("--far", given.far_wire, "space of the wire that came through a collateral")->type_name("SPACE");
    ivus->add_option("--same-side", given.same_side, "no media line between catheter and far wire: yes, no, unknown")->type_name("SIGN");
    ivus->add_option("--in-ring", given.in_ring, "far wire inside the plaque's media ring: yes, no, unknown")->type_name("SIGN");
    ivus->add_option("--eem-min", given.eem_min, "smallest diameter from media to media, or 3.1±0.1mm")->type_name("MM");
    ivus->add_option("--eem-max", given.eem_max, "largest diameter from media to media")->type_name("MM");
    ivus->add_option("--calcium-arc", given.calcium_arc, "largest arc of calcium, degrees")->type_name("DEG");
    ivus->add_option("--overlap", given.overlap, "along which both wires are seen in one section; 0 = nowhere")->type_name("MM");
    ivus->add_option("--tissue", given.tissue, "between the two wires, where thinnest")->type_name("MM");
    ivus->add_option("--cycles", given.cycles, "balloon cycles at this place without entry")->capture_default_str();
    ivus->add_option("--places", given.places, "places tried, this one included")->capture_default_str();
    ivus->add_option("--minutes", given.minutes, "spent on joining the wires")->type_name("MIN");
  }

  void AddKit() {
    auto& given = arguments_.kit;
    CLI::App* kit = Group("kit", "does it fit, does it reach, is it on the shelf");
    CLI::App* fit = Add(*kit, "fit", "devices side by side in a lumen: order, worst pairing, margin", "kit fit");
    fit->add_option("--lumen", given.lumens, "a size (1.80mm, 0.071in) or a guide of the shelf; again for each host of a chain")
        ->required()->expected(1)->allow_extra_args(false)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    fit->add_option("ITEMS", given.items, "sizes (2.6F, 0.014in) or names of the shelf, first in first")->required();
    fit->add_option("--clearance", given.clearance, "margin from which it fits (0.10mm)")->type_name("SIZE");
    fit->add_flag("--together", given.together, "all working elements at one place");
    fit->add_flag("--as-given", given.as_given, "this order only");
    CLI::App* import = Add(*kit, "import", "a lab's list of devices: what was understood, line by line", "kit import");
    TakeFiles(import, "a CSV file", 1);
    import->add_flag("--keep", given.keep, "the list becomes the lab's shelf");
    import->add_option("--by", arguments_.by, "initials or role of the writer")->type_name("NAME");
    CLI::App* label = Add(*kit, "label", "what a GS1 label says; several codes of one package join", "kit label");
    label->add_option("LABEL", given.items, "as scanned or typed; <GS> for the separator")->required();
    CLI::App* shelf = Add(*kit, "shelf", "devices that satisfy a need", "kit shelf");
    shelf->add_option("NEED", given.items, "microcatheter 'lumen>=0.45mm' 'usable>=150cm' stock");
    CLI::App* reach = Add(*kit, "reach", "devices along a route: what is left over, what runs out first", "kit reach");
    TakeFiles(reach, "ROUTE.json, or - for standard input", 1);
    CLI::App* wires = Add(*kit, "wires", "the shelf's wires from soft to stiff", "kit wires");
    Add(*kit, "support", "what makes a guide hold, and what helps", "kit support");
    CLI::App* tray = Add(*kit, "tray", "what a ladder of strategies needs, what of it is there, as a pick list", "kit tray");
    tray->add_option("STRATEGIES", given.items, "AW, ADR, RW, RDR in the order of the ladder")->required();
    tray->add_option("--vessel", given.vessel, "reference diameter (3.0mm)")->type_name("SIZE");
    tray->add_option("--radial", given.radial, "inner diameter of the radial artery (2.4mm)")->type_name("SIZE");
    tray->add_option("--target", given.target, "occluded vessel, for usual routes")->check(CLI::IsMember({"LAD", "LCX", "RCA", "LM", "graft"}));
    tray->add_option("--channel", given.channel, "collateral")->check(CLI::IsMember({"septal", "epicardial", "atrial", "ipsilateral", "graft"}));
    for (CLI::App* command : {tray, wires}) command->add_option("--on", given.on, "the day, instead of today")->type_name("DAY");
    for (CLI::App* command : {fit, shelf, reach, wires, tray}) command->add_option("--shelf", given.shelf, "another list of devices")->type_name("FILE.csv");
    for (CLI::App* command : {label, shelf}) command->add_option("--on", given.on, "the day, instead of today")->type_name("DAY");
  }

  void AddBudgets() {
    auto& kidney = arguments_.kidney;
    CLI::App* egfr = Add("egfr", "kidney function from creatinine, age and sex");
    CLI::App* contrast = Add("contrast", "contrast against kidney function: ratios and graded risk, never a verdict");
    for (CLI::App* command : {egfr, contrast}) {
      command->add_option("--creatinine", kidney.creatinine, "1.10mg/dL or 97umol/L")->type_name("VALUE");
      command->add_option("--age", kidney.age, "completed years");
      command->add_option("--sex", kidney.sex, "female or male")->type_name("SEX");
      command->add_option("--weight", kidney.weight, "80kg")->type_name("KG");
      command->add_option("--height", kidney.height, "172cm")->type_name("CM");
    }
    contrast->add_option("--egfr", kidney.egfr, "instead of creatinine, mL/min/1.73 m2");
    contrast->add_option("--contrast", kidney.contrast, "given so far, 208mL")->type_name("ML");
    contrast->add_option("--iodine", kidney.iodine, "of the agent, mg/mL");
    contrast->add_flag("--dialysis", kidney.dialysis, "on dialysis: no ratio is shown");

    auto& given = arguments_.heparin;
    CLI::App* heparin = Add("heparin", "heparin and ACT of one patient: a forecast with its interval");
    heparin->add_option("--weight", given.weight, "80kg")->type_name("KG")->required();
    heparin->add_option("--dose", given.doses, "MINUTE:IU, again for each")->type_name("MIN:IU")->required();
    heparin->add_option("--drip", given.drips, "FROM-TO:IU an hour")->type_name("MIN-MIN:IU");
    heparin->add_option("--act", given.acts, "MINUTE:SECONDS, or MINUTE:high")->type_name("MIN:S");
    heparin->add_option("--now", given.now, "minute of the forecast")->required();
    heparin->add_option("--target", given.target, "seconds; else the usual one of the analyser");
    heparin->add_option("--baseline", given.baseline, "ACT before heparin, if it was measured");
    heparin->add_option("--analyser", given.analyser, "H reads high, L reads low")->check(CLI::IsMember({"H", "L"}))->capture_default_str();
  }

  Arguments& arguments_;
  CLI::App app_;
};

}  // namespace

Parsed ParseCommandLine(int argc, char** argv) {
  Arguments arguments;
  return Line(arguments).Parse(argc, argv);
}

}  // namespace fairlead
