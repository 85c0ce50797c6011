//! `fillward countersign`: a second person where a pack asks for two, and nobody counted twice.

use crate::common;
use crate::shop::folder::{ODILE, Shop, WREN, owned, signing};

const FILE: &str = "job.checklist.json";
const PACK: &str = "two.yaml";

/// A shop with such a pack in force, and the job signed by Odile Varga.
fn signed_once(signed_by: &str) -> Shop {
    let shop = Shop::with_packs(&[(PACK, &common::local_pack("two-people", signed_by))]);
    shop.run(&[signing("job.yaml", ODILE), owned(&["--pack", PACK])].concat())
        .exits(1)
        .says(&["tyre-fill", "two-people 1", "not yet: signatures are missing"])
        .never_says("the fill may start");
    shop
}

fn countersign(shop: &Shop, key: &str, more: &[&str]) -> crate::shop::folder::Ran {
    shop.countersign(FILE, key, &[&["--pack", PACK], more].concat())
}

fn verify(shop: &Shop) -> crate::shop::folder::Ran {
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
    shop.write("job.yaml", record.clone() + "# checked\n");
    countersign(&shop, WREN, &[]).exits(3).names(&["record-changed"]);
    shop.write("job.yaml", record);
    let without = [
        crate::shop::folder::with_key(&["countersign", FILE, "--yes", "--pack", PACK], WREN),
        owned(&crate::shop::folder::TRUST),
    ];
    shop.run(&without.concat()).exits(2).says(&["--record"]);
    assert_eq!(shop.read(FILE), before);
    countersign(&shop, WREN, &[]).exits(0).says(&["the fill may start"]);
}
