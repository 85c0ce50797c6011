//! `fillward verify` over many files: folders, tables, totals, what lies beside, and what one key has signed.

use fillward::checklist::canonical;
use fillward::document::Code;
use serde_json::{Value, json};

use super::verify::{FILE, signed};
use crate::shop::folder::{ODILE, Ran, TRUST, owned, passing_but, signing};
use crate::shop::morning::{a_second_later, from_now};

#[test]
fn many_files_each_get_their_answer_and_the_worst_decides() {
    let shop = signed();
    shop.put("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    a_second_later();
    // In a folder of its own: beside the pass it would be a later checklist of the same job.
    let held = "held/cold.hold.checklist.json";
    std::fs::create_dir(shop.path("held")).unwrap();
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold", "--out", held])].concat()).exits(1);
    shop.put("broken.json", &shop.read(FILE).as_bytes()[..2000]);
    let answers = |files: &[&str], exit: i32| {
        let ran = shop.verify(&[files, &["--record", "job.yaml"]].concat()).exits(exit);
        let places: Vec<usize> = files.iter().map(|file| ran.out.find(&format!("“{file}”\n")).unwrap()).collect();
        assert!(places.is_sorted(), "{}", ran.out);
        assert_eq!(ran.err, "");
        ran
    };
    answers(&[FILE], 0);
    // The record of the held job was put right since: it is of an earlier state of it, and no misfit.
    answers(&[held], 1)
        .names(&["record-earlier", "hold"])
        .says(&["In order. Do not start", "an earlier state of this record"]);
    let both = ["--record", "job.yaml", "--record", "cold.yaml"];
    // Given both, nobody knows which stands now.
    shop.verify(&[&[FILE, held][..], &both].concat())
        .exits(1)
        .names(&["record-twice", "later-checklist", "record-twice", "hold"])
        .says(&[
            "held by tyre-fill/cold-material: The material is too cold to mix and cure (isocyanate)",
            "2 files: 2 in order",
            "held by tyre-fill/cold-material: 1",
        ]);
    shop.verify(&[held, "--record", "cold.yaml"]).exits(1).names(&["hold"]);
    shop.verify(&[FILE, held]).exits(1).names(&["record-not-given", "later-checklist", "record-not-given", "hold"]);
    answers(&[FILE, "none.json"], 2).says(&["Not verified: “none.json”", "may start"]);
    answers(&["none.json", "broken.json", FILE], 3);
    answers(&[held, "none.json"], 2);
    // More than a bar's worth, on all cores, in the order in which they were given.
    let copies: Vec<String> = (0..120).map(|number| format!("copy-{number:03}.json")).collect();
    for (number, copy) in copies.iter().enumerate() {
        let text = shop.read(FILE);
        shop.put(copy, if number == 77 { text.replacen("HT-0311", "HT-0312", 1) } else { text });
    }
    let files: Vec<&str> = copies.iter().map(String::as_str).collect();
    let ran = answers(&files, 3);
    assert_eq!(ran.out.matches("The fill may start  “").count(), 119);
    assert_eq!(ran.out.matches("NOT TO BE RELIED ON  “").count(), 1);
    // Copies of one checklist let one fill start, and are counted apart.
    ran.says(&[
        "NOT TO BE RELIED ON “copy-077.json”",
        "120 files: 1 may start · 1 not to be relied on · 118 copies of these",
        "“copy-001.json” is a copy of “copy-000.json”",
        "and 112 copies more",
    ]);
}

/// A shop's archive: folders of checklists and of records, each answer in the form that is asked for.
#[test]
fn a_folder_is_verified_as_text_table_json_and_csv() {
    let shop = signed();
    shop.put(
        "cold.yaml",
        passing_but("job: HT-0311", "job: HT-0320").replace("reading: 75.2 degF", "reading: 68 degF"),
    );
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    for folder in ["kept", "kept/march", "records", "empty"] {
        std::fs::create_dir(shop.path(folder)).unwrap();
    }
    shop.put("kept/march/HT-0311.checklist.json", shop.read(FILE));
    shop.put("kept/HT-0320.hold.checklist.json", shop.read("cold.hold.checklist.json"));
    let whole = shop.read(FILE);
    shop.put("kept/cut.checklist.json", whole.split_once("\"hold_point\"").unwrap().0);
    shop.put("kept/notes.txt", "no checklist");
    for record in ["job.yaml", "cold.yaml"] {
        shop.put(&format!("records/{record}"), shop.read(record));
    }
    let told = |format: &str| shop.verify(&["kept", "--record", "records", "--format", format]).exits(3);
    let files = ["kept/HT-0320.hold.checklist.json", "kept/cut.checklist.json", "kept/march/HT-0311.checklist.json"];
    let totals = "3 files: 1 may start · 1 in order · 1 not to be relied on";
    let text = told("text").says(&[totals, "held by tyre-fill/cold-material: 1"]);
    let places: Vec<usize> = files.iter().map(|file| text.out.find(file).unwrap()).collect();
    assert!(places.is_sorted(), "{}", text.out);
    let table = told("table").says(&[
        totals,
        "file job hold point checked signed by why",
        "Not looked at: 1 file not called .checklist.json: “kept/notes.txt”",
        "held by tyre-fill/cold-material: 1 (The material is too cold to mix and cure)",
        &format!("not-exact-form: {}", Code::ChecklistNotExactForm.page()),
    ]);
    // What is not in order comes first; each file has a line below its state.
    let lines: Vec<&str> = table.out.lines().map(str::trim).collect();
    let place = |begin: &str| {
        lines.iter().position(|line| line.starts_with(begin)).unwrap_or_else(|| panic!("{begin}: {}", table.out))
    };
    let states = ["NOT TO BE RELIED ON · 1 file", "IN ORDER: HOLD · 1 file", "MAY START · 1 file"].map(place);
    assert_eq!(["kept/cut ", "kept/HT-0320.hold ", "kept/march/HT-0311 "].map(place), states.map(|line| line + 1));
    assert!(states.is_sorted(), "{}", table.out);
    let row = |begin: &str| lines[place(begin)].split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(row("kept/HT-0320").ends_with(" Odile Varga cold-material"), "{}", table.out);
    assert!(row("kept/march").starts_with("kept/march/HT-0311 HT-0311 before fill 20"), "{}", table.out);

    let json: Value = serde_json::from_str(&told("json").out).unwrap();
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "verification"]).exits(0).out).unwrap();
    let validator = jsonschema::draft202012::options().should_validate_formats(true).build(&schema).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&json).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let answers: Vec<&str> =
        json["files"].as_array().unwrap().iter().map(|of| of["answer"].as_str().unwrap()).collect();
    assert_eq!(answers, ["in order", "not to be relied on", "may start"]);
    assert_eq!(json["held_by"], json!([{"of": "tyre-fill/cold-material", "files": 1}]));
    let passed = &json["files"][2];
    assert_eq!(passed["signatures"][0]["who"], "Odile Varga");
    assert_eq!((&passed["against"], &passed["judged_again"]), (&json!([]), &json!(true)));
    assert_eq!(json["files"][1]["against"][0]["doubtful"], json!(true));

    let csv = told("csv").out;
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(lines.len(), 5);
    assert!(lines[0].starts_with("file,answer,job,hold_point,verdict,"), "{csv}");
    assert!(
        lines[1].starts_with(r#""kept/HT-0320.hold.checklist.json","in order","HT-0320","before fill","HOLD","#),
        "{csv}"
    );
    assert!(lines[1].contains(r#","tyre-fill/cold-material","","","hold","","Hollow Tarn","1","#), "{csv}");
    assert!(lines[1].contains(r#","loader 4, left front","","Odile Varga","20"#), "{csv}");
    shop.verify(&["empty"]).exits(2).says(&["the folder `empty` has no file that ends in `.checklist.json`"]);
    shop.verify(&["none.json", "--format", "json"]).exits(2).says(&["not verified", "cli/unreadable"]);
    assert_eq!(json["not_looked_at"], json!(["kept/notes.txt"]));
}

/// The law: however many files there are and whatever they are called, the table is as wide as the terminal, a file takes a
/// line, every file that is not in order has one, before all others, and the counts add up to all of them.
#[test]
fn a_table_of_many_files_stays_narrow() {
    let shop = signed();
    let honest = shop.read(FILE);
    let mut content: Value = serde_json::from_str(&honest).unwrap();
    content["checklist"]["job"] = json!("HT-0999");
    let forged = canonical::file("forged", &content).unwrap().0;
    let deep = "kept/customers in the north of the county/2026/march, second half";
    for folder in ["kept", "kept/2024", "kept/2025", deep] {
        std::fs::create_dir_all(shop.path(folder)).unwrap();
    }
    let mut doubtful = Vec::new();
    for number in 0..100 {
        for folder in ["kept/2024", "kept/2025", deep] {
            let name = format!("{folder}/HT-{number:04}{}", if folder == deep { " 中文 second attempt" } else { "" });
            let is_forged = number % 25 == 7;
            if is_forged {
                doubtful.push(name.clone());
            }
            shop.put(&format!("{name}.checklist.json"), if is_forged { forged.as_slice() } else { honest.as_bytes() });
        }
    }
    for columns in [40, 60, 80, 100] {
        let arguments = [&["verify", "kept", "--record", "job.yaml", "--format", "table"], &TRUST[..]].concat();
        let mut command = shop.command(&arguments);
        let ran = Ran::of(&arguments, command.env("COLUMNS", columns.to_string()).output().unwrap()).exits(3);
        let wide = |line: &str| line.chars().map(|c| if ('中'..='文').contains(&c) { 2 } else { 1 }).sum::<usize>();
        assert!(ran.out.lines().all(|line| wide(line) <= columns), "{}", ran.out);
        let ran = ran.says(&[
            "NOT TO BE RELIED ON · 12 files",
            "MAY START · 288 files, not listed here: `--format csv` has each",
            "300 files: 1 may start · 12 not to be relied on · 287 copies of these",
        ]);
        let listed = ran.out.lines().skip_while(|line| !line.starts_with("NOT TO BE")).skip(1);
        let rows: Vec<&str> = listed.take_while(|line| !line.starts_with("MAY START")).collect();
        assert_eq!(rows.len(), doubtful.len(), "{}", ran.out);
        for name in &doubtful {
            let end: String = name.chars().skip(name.chars().count() - 4).collect();
            assert!(rows.iter().any(|row| row.contains(&end)), "{name}: {}", ran.out);
        }
    }
    let csv = shop.verify(&["kept", "--record", "job.yaml", "--format", "csv"]).exits(3).out;
    assert_eq!(csv.matches("\r\n\"kept/").count(), 300);
}

/// Nothing that lies in a folder is passed over in silence.
#[cfg(unix)]
#[test]
fn a_folder_hides_nothing() {
    let shop = signed();
    std::fs::create_dir(shop.path("kept")).unwrap();
    shop.put("kept/HT-0311.checklist.json", shop.read(FILE));
    shop.put("kept/odd.Checklist.json", &shop.read(FILE).as_bytes()[..900]);
    std::os::unix::fs::symlink(shop.path(FILE), shop.path("kept/elsewhere.checklist.json")).unwrap();
    shop.put("kept/HT-0312.checklist.json.old", shop.read(FILE));
    let told = |format: &str| shop.verify(&["kept", "--record", "job.yaml", "--format", format]).exits(3);
    told("text").says(&[
        "NOT TO BE RELIED ON “kept/odd.Checklist.json”",
        "Not verified: “kept/elsewhere.checklist.json”",
        "is no plain file, but a link, a pipe or a device",
        "3 files: 1 may start · 1 not to be relied on · 1 not verified",
        "Not looked at: 1 file not called .checklist.json: “kept/HT-0312.checklist.json.old”",
    ]);
    let made = std::process::Command::new("mkfifo").arg(shop.path("kept/pipe.checklist.json")).status().unwrap();
    assert!(made.success());
    told("text").says(&[
        "Not looked at: 1 file, a link, a folder, a pipe or a device: “kept/pipe.checklist.json”",
        "Not looked at: 1 file not called .checklist.json: “kept/HT-0312.checklist.json.old”",
    ]);
    let json: Value = serde_json::from_str(&told("json").out).unwrap();
    assert_eq!(json["not_looked_at"], json!(["kept/HT-0312.checklist.json.old", "kept/pipe.checklist.json"]));
    assert_eq!(json["files"].as_array().unwrap().len(), 3);
}

/// What may be the present record of a job and is passed over in a folder of records is named.
#[cfg(unix)]
#[test]
fn a_folder_of_records_hides_nothing() {
    let shop = signed();
    std::fs::create_dir(shop.path("records")).unwrap();
    shop.put("records/job.yaml", shop.read("job.yaml"));
    shop.put("records/notes.txt", "no record");
    let told = |file: Option<&str>| {
        let ran = shop.verify(&[FILE, "--record", "records"]).exits(0);
        match file {
            Some(file) => ran.says(&[&format!("Not looked at: 1 file that may be a record: “records/{file}”")]),
            None => ran.never_says("Not looked at"),
        };
    };
    told(None);
    for file in ["changed.yml", "job.yaml.txt"] {
        shop.put(&format!("records/{file}"), shop.read("job.yaml") + "# changed\n");
        told(Some(file));
        std::fs::remove_file(shop.path(&format!("records/{file}"))).unwrap();
    }
    // However the ending is written, it is a record, and two that differ are told of.
    shop.put("records/JOB.YAML", shop.read("job.yaml") + "# changed\n");
    shop.verify(&[FILE, "--record", "records"]).exits(1).names(&["record-twice"]);
    std::fs::remove_file(shop.path("records/JOB.YAML")).unwrap();
    std::os::unix::fs::symlink(shop.path("job.yaml"), shop.path("records/link.yaml")).unwrap();
    told(Some("link.yaml"));
}

/// Two that differ: the person who signs the second is told, and whoever looks at both starts nothing by the first.
#[test]
fn of_two_checklists_of_a_job_the_last_one_counts() {
    let shop = signed();
    a_second_later();
    // A practice run takes nobody's place.
    let practice = ["--at", &crate::shop::morning::from_now(0), "--out", "practice.checklist.json"];
    shop.sign(&practice).exits(1).says(&["HERE ALREADY", "nothing starts by it: "]).never_says("it alone counts");
    shop.sign(&["--out", "again.checklist.json"]).exits(0).says(&[
        "HERE ALREADY for this job and hold point: PASS, checked ",
        "“./job.checklist.json”",
        "once this is signed, it alone counts",
    ]);
    let both = [FILE, "again.checklist.json", "--record", "job.yaml"];
    shop.verify(&both).exits(1).names(&["later-checklist"]).says(&[
        "“HT-0311”, before fill: 2 checklists that differ, and only the last one counts",
        "its record says the same of every fact",
        "2 files: 1 may start · 1 in order",
    ]);
    // Whoever gives the earlier one alone starts nothing either, and the later one starts by itself.
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(1).names(&["later-checklist"]).says(&["again.checklist.json"]);
    shop.verify(&["again.checklist.json", "--record", "job.yaml"]).exits(0).says(&["The fill may start"]);
    // A second person who signs the earlier one is told of the later one, and starts nothing by it.
    shop.countersign(FILE, crate::shop::folder::WREN, &[])
        .exits(1)
        .says(&[
            "HERE ALREADY for this job and hold point: PASS",
            "nothing starts by it: ",
            "again.checklist.json",
            "Do not start the pump.",
        ])
        .never_says("the fill may start");
    let json: Value =
        serde_json::from_str(&shop.verify(&[&both[..], &["--format", "json"]].concat()).exits(1).out).unwrap();
    let of = |place: usize| &json["several"][0]["files"][place];
    assert_eq!((&of(0)["file"], &of(1)["file"]), (&json!(FILE), &json!("again.checklist.json")));
    // A third one of another target: each is told beside the one before it, for people and for programs.
    shop.put("job.yaml", shop.read("job.yaml").replacen("pressure: 60 psi", "pressure: 62 psi", 1));
    a_second_later();
    shop.sign(&["--out", "third.checklist.json"]).exits(0);
    let three = [FILE, "again.checklist.json", "third.checklist.json", "--record", "job.yaml"];
    shop.verify(&three).exits(1).says(&["loader 4, left front: `target.pressure`: 60 psi, then 62 psi"]);
    let json: Value =
        serde_json::from_str(&shop.verify(&[&three[..], &["--format", "json"]].concat()).exits(1).out).unwrap();
    let differs = &json["several"][0]["files"][2]["differs"][0];
    assert_eq!((&differs["of"], &differs["fact"]), (&json!("loader 4, left front"), &json!("target.pressure")));
    assert_eq!(json["several"][0]["files"][1]["differs"], json!([]));
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "verification"]).exits(0).out).unwrap();
    assert!(jsonschema::draft202012::is_valid(&schema, &json), "{json}");
}

/// After a theft: which files did that key sign?
#[test]
fn what_a_key_has_signed_is_found() {
    let shop = signed();
    shop.put("other.yaml", passing_but("job: HT-0311", "job: HT-0320"));
    shop.run(&signing("other.yaml", crate::shop::folder::WREN)).exits(0);
    let kept = |by: &[&str]| {
        let files = [FILE, "other.checklist.json", "--format", "json"];
        let json: Value = serde_json::from_str(&shop.verify(&[&files[..], by].concat()).exits(1).out).unwrap();
        let files = json["files"].as_array().unwrap().iter().map(|file| file["file"].as_str().unwrap().to_owned());
        files.collect::<Vec<_>>()
    };
    assert_eq!(kept(&["--signed-by", "Odile Varga"]), [FILE]);
    assert_eq!(kept(&["--signed-by", "Wren Castellane"]), ["other.checklist.json"]);
    assert_eq!(kept(&["--signed-by", &format!("{ODILE}.pub.pem")]), [FILE]);
    assert_eq!(kept(&["--signed-by", "Odile Varga", "--since", &from_now(-600)]), [FILE]);
    let late = ["--signed-by", "Odile Varga", "--since", &from_now(600)];
    let files = [FILE, "other.checklist.json", "--record", "job.yaml"];
    shop.verify(&[&files[..], &late].concat()).exits(1).says(&["Signed with that key: 0 of 2 files"]);
    shop.verify(&[FILE, "--signed-by", "nobody.pub.pem"]).exits(2).names(&["cli/usage"]).says(&[
        "nobody called “nobody.pub.pem” is in the trust file, and there is no such key file",
        "in it are: Odile Varga,",
    ]);
}

/// The law: the exit code is that of all files that were given, whichever of them are shown.
#[test]
fn no_file_that_is_left_out_of_the_list_lets_anything_start() {
    let shop = signed();
    let record = ["--record", "job.yaml"];
    for by in ["Odile Varga", "Wren Castellane"] {
        shop.verify(&[&[FILE][..], &record, &["--signed-by", by]].concat()).exits(0);
        shop.verify(&[FILE, "--signed-by", by]).exits(1);
        let forged = shop.read(FILE).replacen("HT-0311", "HT-0312", 1);
        shop.put("forged.checklist.json", forged);
        let files = [FILE, "forged.checklist.json"];
        shop.verify(&[&files[..], &record, &["--signed-by", by]].concat()).exits(3);
        std::fs::remove_file(shop.path("forged.checklist.json")).unwrap();
    }
}

/// The law: a file beside another one bars it where its signature is good by a key of the trust file, and nowhere else; what
/// only claims to be a later HOLD is told.
#[test]
fn a_neighbour_without_a_good_signature_bars_nothing() {
    const HELD: &str = "held.hold.checklist.json";
    let shop = signed();
    let verify = || shop.verify(&[FILE, "--record", "job.yaml"]);
    let held = passing_but("faults: []", "faults: [crack]");
    shop.put("held.yaml", &held);
    shop.run(&[signing("held.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    verify().exits(1).names(&["later-checklist"]);
    let broken = shop.read(HELD).replacen("\"verdict\": \"HOLD\"", "\"verdict\": \"PASS\"", 1);
    shop.put(HELD, broken);
    verify().exits(0).says(&[HELD, "claims to be a later PASS", "is not to be relied on"]);
    // Before anybody signs, it is told, too.
    shop.sign(&["--out", "again.checklist.json"]).exits(0).says(&["claims to be a later PASS"]);
}

/// The law: of one job are files whose numbers name one thing, as marks do.
#[test]
fn a_job_number_in_other_letters_is_the_same_job() {
    let shop = signed();
    a_second_later();
    shop.put("held.yaml", passing_but("job: HT-0311", "job: ht 0311").replacen("faults: []", "faults: [crack]", 1));
    shop.run(&[signing("held.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(1).names(&["later-checklist"]);
    let both = [FILE, "held.hold.checklist.json", "--record", "job.yaml"];
    shop.verify(&both).exits(1).names(&["later-checklist", "record-earlier", "hold"]);
}

/// A checklist under another name would be overlooked by whoever looks through the folder: a HOLD put out of sight.
#[test]
fn a_checklist_is_kept_under_a_name_by_which_it_is_found() {
    let shop = signed();
    for name in ["held.json", "held", "checklist.json.txt"] {
        let ran = shop.sign(&["--hold", "--out", name]).exits(2).names(&["cli/usage"]);
        ran.says(&["does not end in `.checklist.json`", "give a name that ends in"]);
        assert!(!shop.has(name));
    }
}
