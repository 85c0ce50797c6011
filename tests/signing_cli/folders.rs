//! `fillward verify` over many files: folders, tables, totals, what lies beside, and what one key has signed.

use serde_json::{Value, json};

use super::verify::{FILE, signed};
use crate::shop::folder::{ODILE, owned, passing_but, signing};
use crate::shop::morning::from_now;

/// Lets the clock go on: two judgements of one second have no order.
fn a_second_later() {
    std::thread::sleep(std::time::Duration::from_millis(1100));
}

#[test]
fn many_files_each_get_their_answer_and_the_worst_decides() {
    let shop = signed();
    shop.write("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    a_second_later();
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    shop.write("broken.json", &shop.read(FILE).as_bytes()[..2000]);
    let held = "cold.hold.checklist.json";
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
        shop.write(copy, if number == 77 { text.replacen("HT-0311", "HT-0312", 1) } else { text });
    }
    let files: Vec<&str> = copies.iter().map(String::as_str).collect();
    let ran = answers(&files, 3);
    assert_eq!(ran.out.matches("The fill may start  “").count(), 119);
    assert_eq!(ran.out.matches("NOT TO BE RELIED ON  “").count(), 1);
    // Copies of one checklist let one fill start, and are counted apart.
    ran.says(&[
        "NOT TO BE RELIED ON “copy-077.json”",
        "120 files: 1 may start · 1 not to be relied on · 118 copies of these",
    ]);
}

/// A shop's archive: folders of checklists and of records, each answer in the form that is asked for.
#[test]
fn a_folder_is_verified_as_text_table_json_and_csv() {
    let shop = signed();
    shop.write(
        "cold.yaml",
        passing_but("job: HT-0311", "job: HT-0320").replace("reading: 75.2 degF", "reading: 68 degF"),
    );
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    for folder in ["kept", "kept/march", "records", "empty"] {
        std::fs::create_dir(shop.path(folder)).unwrap();
    }
    shop.write("kept/march/HT-0311.checklist.json", shop.read(FILE));
    shop.write("kept/HT-0320.hold.checklist.json", shop.read("cold.hold.checklist.json"));
    shop.write("kept/cut.checklist.json", &shop.read(FILE).as_bytes()[..900]);
    shop.write("kept/notes.txt", "no checklist");
    for record in ["job.yaml", "cold.yaml"] {
        shop.write(&format!("records/{record}"), shop.read(record));
    }
    let told = |format: &str| shop.verify(&["kept", "--record", "records", "--format", format]).exits(3);
    let files = ["kept/HT-0320.hold.checklist.json", "kept/cut.checklist.json", "kept/march/HT-0311.checklist.json"];
    let totals = "3 files: 1 may start · 1 in order · 1 not to be relied on";
    let text = told("text").says(&[totals, "held by tyre-fill/cold-material: 1"]);
    let places: Vec<usize> = files.iter().map(|file| text.out.find(file).unwrap()).collect();
    assert!(places.is_sorted(), "{}", text.out);
    let table = told("table").says(&[
        totals,
        "file answer job tyres signed by held by against it",
        "Not looked at: 1 file not called .checklist.json: “kept/notes.txt”",
    ]);
    // A row goes on until the next file, the name of its file behind that of the folder.
    let row = |name: &str| {
        let rows: Vec<&str> = table.out.split("\nkept/").collect();
        let of_file = rows.iter().find(|row| row.contains(name)).unwrap_or_else(|| panic!("{}", table.out));
        of_file.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let names = files.map(|file| file.rsplit('/').next().unwrap());
    for told in ["may start", "Odile", "Varga", "loader 4,", "left front"] {
        assert!(row(names[2]).contains(told), "{told}: {}", table.out);
    }
    assert!(row(names[0]).contains("in order") && row(names[0]).contains("HT-0320"), "{}", table.out);
    assert!(table.out.lines().all(|line| line.chars().count() <= 100), "{}", table.out);

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
    assert!(lines[1].contains(r#","tyre-fill/cold-material","","","hold","Hollow Tarn","1","#), "{csv}");
    assert!(lines[1].contains(r#","loader 4, left front","Odile Varga","20"#), "{csv}");
    shop.verify(&["empty"]).exits(2).says(&["the folder `empty` has no file that ends in `.checklist.json`"]);
    shop.verify(&["none.json", "--format", "json"]).exits(2).says(&["not verified", "cli/unreadable"]);
    assert_eq!(json["not_looked_at"], json!(["kept/notes.txt"]));
}

/// Nothing that lies in a folder is passed over in silence.
#[cfg(unix)]
#[test]
fn a_folder_hides_nothing() {
    let shop = signed();
    std::fs::create_dir(shop.path("kept")).unwrap();
    shop.write("kept/HT-0311.checklist.json", shop.read(FILE));
    shop.write("kept/odd.Checklist.json", &shop.read(FILE).as_bytes()[..900]);
    std::os::unix::fs::symlink(shop.path(FILE), shop.path("kept/elsewhere.checklist.json")).unwrap();
    shop.write("kept/HT-0312.checklist.json.old", shop.read(FILE));
    let told = |format: &str| shop.verify(&["kept", "--record", "job.yaml", "--format", format]).exits(3);
    told("text").says(&[
        "NOT TO BE RELIED ON “kept/odd.Checklist.json”",
        "Not verified: “kept/elsewhere.checklist.json”",
        "it is a link to another place",
        "3 files: 1 may start · 1 not to be relied on · 1 not verified",
        "Not looked at: 1 file not called .checklist.json: “kept/HT-0312.checklist.json.old”",
    ]);
    let json: Value = serde_json::from_str(&told("json").out).unwrap();
    assert_eq!(json["not_looked_at"], json!(["kept/HT-0312.checklist.json.old"]));
    assert_eq!(json["files"].as_array().unwrap().len(), 3);
}

/// Two that differ: the person who signs the second is told, and whoever looks at both starts nothing by the first.
#[test]
fn of_two_checklists_of_a_job_the_last_one_counts() {
    let shop = signed();
    a_second_later();
    shop.sign(&["--out", "again.checklist.json"]).exits(0).says(&[
        "HERE ALREADY for this job and hold point: PASS, checked 20",
        "“./job.checklist.json”",
        "once this is signed, it alone counts",
    ]);
    let both = [FILE, "again.checklist.json", "--record", "job.yaml"];
    shop.verify(&both).exits(1).names(&["later-checklist"]).says(&[
        "“HT-0311”, before fill: 2 checklists that differ, and only the last one counts",
        "its record says the same of every fact",
        "2 files: 1 may start · 1 in order",
    ]);
    let json: Value =
        serde_json::from_str(&shop.verify(&[&both[..], &["--format", "json"]].concat()).exits(1).out).unwrap();
    let of = |place: usize| &json["several"][0]["files"][place];
    assert_eq!((&of(0)["file"], &of(1)["file"]), (&json!(FILE), &json!("again.checklist.json")));
    // A third one of another target: each is told beside the one before it, for people and for programs.
    shop.write("job.yaml", passing_but("pressure: 60 psi", "pressure: 62 psi"));
    a_second_later();
    shop.sign(&["--out", "third.checklist.json"]).exits(0);
    let three = [FILE, "again.checklist.json", "third.checklist.json", "--record", "job.yaml"];
    shop.verify(&three).exits(1).says(&["loader 4, left front: `target.pressure`: 60 psi [", "then 62 psi ["]);
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
    shop.write("other.yaml", passing_but("job: HT-0311", "job: HT-0320"));
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
    shop.verify(&[&files[..], &late].concat()).exits(0).says(&["Signed with that key: 0 of 2 files"]);
    shop.verify(&[FILE, "--signed-by", "nobody.pub.pem"]).exits(2).names(&["cli/unreadable"]);
}
