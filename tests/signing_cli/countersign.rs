//! `fillward countersign`: a second person where a pack asks for two, and nobody counted twice.

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, WREN, owned, signing};

const FILE: &str = "job.checklist.json";
const PACK: &str = "two.yaml";

/// A shop with such a pack in force, and the job signed by Odile Varga.
fn signed_once(signed_by: &str) -> Shop<Folder> {
    let shop = Shop::named(&[(PACK, &common::local_pack("two-people", signed_by))]).in_folder();
    shop.run(&[signing("job.yaml", ODILE), owned(&["--pack", PACK])].concat())
        .exits(1)
        .says(&["tyre-fill", "two-people 1", "not yet: signatures are missing"])
        .never_says("the fill may start");
    shop
}

fn countersign(shop: &Shop<Folder>, key: &str, more: &[&str]) -> crate::shop::folder::Ran {
    shop.countersign(FILE, key, &[&["--pack", PACK], more].concat())
}

fn verify(shop: &Shop<Folder>) -> crate::shop::folder::Ran {
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge", "--pack", PACK])
}

#[test]
fn two_supervisors() {
    let shop = signed_once("supervisor, supervisor");
    verify(&shop).exits(1).names(&["too-few-signers"]).says(&["signatures are missing: supervisor"]);
    let before = shop.read(FILE);
    let twice = countersign(&shop, ODILE, &[]).exits(3).names(&["signed-twice"]);
    assert_eq!(twice.err.lines().last(), Some("Nothing was signed. Nothing starts by this."));
    assert_eq!(shop.read(FILE), before);
    countersign(&shop, WREN, &[]).exits(0).says(&[
        "PASS before fill · job “HT-0311”",
        "loader 4, left front: target 60 psi (pressure window 55.86 to 68.89 psi)",
        "once signed by all, good until",
        "signed by Odile Varga, supervisor",
        "Signed and read back",
        "the fill may start",
    ]);
    verify(&shop).exits(0).says(&["signed by Odile Varga", "signed by Wren Castellane"]);
}

/// The second person answers for the record as it now stands, and judges it again by the same packs.
#[test]
fn who_countersigns_judges_again() {
    let shop = signed_once("supervisor, supervisor");
    let before = shop.read(FILE);
    shop.countersign(FILE, WREN, &[]).exits(3).names(&["other-packs"]).says(&["two-people 1"]);
    let record = shop.read("job.yaml");
    shop.put("job.yaml", record.clone() + "# checked\n");
    countersign(&shop, WREN, &[]).exits(3).names(&["record-changed"]);
    shop.put("job.yaml", record);
    let without = [
        crate::shop::folder::with_key(&["countersign", FILE, "--yes", "--pack", PACK], WREN),
        owned(&crate::shop::folder::TRUST),
    ];
    shop.run(&without.concat()).exits(3).names(&["record-not-given"]).says(&["--record"]);
    assert_eq!(shop.read(FILE), before);
    countersign(&shop, WREN, &[]).exits(0).says(&["the fill may start"]);
}

/// The checklists of a folder, countersigned by a second person in one act: each is held against the record of its job, what
/// somebody has signed before is told, and what is not in order is named and left as it is.
#[test]
fn a_folder_is_countersigned_in_one_act() {
    let shop = Shop::new().in_folder();
    for folder in ["week", "records"] {
        std::fs::create_dir(shop.path(folder)).unwrap();
    }
    for job in ["HT-0311", "HT-0312", "HT-0313"] {
        let record = format!("records/{job}.yaml");
        shop.put(&record, shop.read("job.yaml").replacen("HT-0311", job, 1));
        let out = format!("week/{job}.checklist.json");
        shop.run(&[signing(&record, ODILE), owned(&["--out", &out])].concat()).exits(0);
    }
    let forged = shop.read("week/HT-0313.checklist.json").replacen("\"HT-0313\"", "\"HT-0314\"", 1);
    shop.put("week/HT-0313.checklist.json", &forged);
    let act = |records: &[&str]| {
        let arguments = crate::shop::folder::with_key(&["countersign", "week", "--yes"], WREN);
        shop.run(&[arguments, owned(records), owned(&crate::shop::folder::TRUST)].concat())
    };
    // Without its record, what is still to be done is not countersigned.
    act(&[]).exits(3).says(&["Not signed: “week/HT-0311.checklist.json”", "record-not-given"]).never_says("read back");
    act(&["--record", "records"]).exits(3).says(&[
        "Not signed: “week/HT-0313.checklist.json”",
        "Signed and read back: “week/HT-0311.checklist.json”",
        "Signed and read back: “week/HT-0312.checklist.json”",
    ]);
    assert_eq!(shop.read("week/HT-0313.checklist.json"), forged);
    std::fs::remove_file(shop.path("week/HT-0313.checklist.json")).unwrap();
    act(&["--record", "records"]).exits(0).says(&["Signed by you before: “week/HT-0311.checklist.json”"]);
    shop.verify(&["week", "--record", "records"]).exits(0).says(&["signed by Wren Castellane, supervisor"]);
    // Somebody must be there to say how many they are.
    let unasked = crate::shop::folder::with_key(&["countersign", "week", "--record", "records"], WREN);
    shop.run(&[unasked, owned(&crate::shop::folder::TRUST)].concat()).exits(2).says(&["there is no terminal to ask"]);
}
