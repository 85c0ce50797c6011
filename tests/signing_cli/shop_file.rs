//! `fillward sign` with a shop file that is not the one it should be: an old one put back, one of another zone, one of
//! which somebody took away what was remembered.
//!
//! What is told matters here, and not the verdict: the short record's readings are of its morning, whatever time it is.

use fillward::checklist::packs::sha256_hex;

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, Ran, owned, signing};
use crate::shop::morning::{moved, neighbour, zone};

pub(super) const SHOP: &str = "shop.yaml";
pub(super) const MEMORY: &str = "fillward-shop.signed";

/// A shop whose record draws on its shop file, both of this morning.
pub(super) fn short() -> Shop<Folder> {
    let shop = Shop::new().in_folder();
    shop.put("job.yaml", moved(&common::read("shared/demo/short/pass-loader-bias-used.yaml")));
    shop.put(SHOP, shop_file());
    shop
}

fn shop_file() -> String {
    moved(&common::read("shared/demo/shop.yaml")).replacen(common::DEMO_ZONE, zone(), 1)
}

/// The file as it is after somebody reviewed training: another date, and nothing that this record draws on.
fn reviewed(file: &str) -> String {
    const DATE: &str = "training_reviewed: ";
    let (before, after) = file.split_once("name: Jory Haldane").unwrap();
    let (between, rest) = after.split_once(DATE).unwrap();
    let (_, rest) = rest.split_at("2021-02-03".len());
    format!("{before}name: Jory Haldane{between}{DATE}2021-02-03{rest}")
}

/// Signs with this shop file, whatever the verdict, and keeps it under this name.
fn sign(shop: &Shop<Folder>, file: &str, out: &str) -> Ran {
    let ran = shop.run(&[signing("job.yaml", ODILE), owned(&["--shop", file, "--hold", "--out", out])].concat());
    assert!(matches!(ran.exit, Some(0 | 1)), "{ran:?}");
    assert!(shop.has(out), "{ran:?}");
    ran
}

fn digest_in(shop: &Shop<Folder>, out: &str) -> String {
    let file: serde_json::Value = serde_json::from_str(&shop.read(out)).unwrap();
    file["checklist"]["inputs"]["shop_file"]["sha256"].as_str().unwrap().to_owned()
}

/// An old calibration, a person struck off the list: the old file has them as they were. It is told under whatever name.
#[test]
fn an_old_shop_file_put_back_is_told_before_it_is_signed() {
    let shop = short();
    let old = shop.read(SHOP);
    sign(&shop, SHOP, "1.checklist.json").says(&["no signature with a shop file is known here"]);
    shop.put(SHOP, reviewed(&old));
    sign(&shop, SHOP, "2.checklist.json").says(&["changed since", "crew JH"]).never_says("AN OLD SHOP FILE");
    for name in [SHOP, "shop-new.yaml"] {
        shop.put(name, &old);
        let out = format!("{name}.checklist.json");
        sign(&shop, name, &out).says(&["AN OLD SHOP FILE: last signed with at", "changed since", "crew JH"]);
        assert_eq!(digest_in(&shop, &out), sha256_hex(old.as_bytes()), "the checklist says which file it was");
        // Another file after it, so that the next one is as old as this one was.
        shop.put(SHOP, reviewed(&old));
        sign(&shop, SHOP, &format!("{name}.after.checklist.json"));
    }
    // A blank more makes another file of it; what the entries say is told all the same.
    shop.put(SHOP, old + "\n");
    sign(&shop, SHOP, "blank.checklist.json").never_says("AN OLD SHOP FILE").says(&["changed since", "crew JH"]);
}

/// The days of another zone are other days, so the two files must agree about it. A shop has one name in its trust file and
/// may have another in its shop file, so that is shown to whoever signs.
#[test]
fn a_shop_file_of_another_zone_is_not_signed_with_and_whose_it_is_is_shown() {
    let shop = short();
    let own = shop.read(SHOP);
    let other = neighbour();
    assert!(own.contains(&format!("zone: {}", zone())), "{own}");
    shop.put(SHOP, own.replacen(zone(), other, 1));
    for hold in [&[][..], &["--hold"]] {
        shop.sign(&[&["--shop", SHOP][..], hold].concat()).exits(2).says(&[other, zone(), "Nothing was signed"]);
    }
    assert!(!shop.has("job.checklist.json") && !shop.has("job.hold.checklist.json"));
    assert!(!shop.has(MEMORY), "what was refused is remembered as signed with");
    // A shop that moves says so in both files, and whoever signs is told that it is another one than the last.
    shop.put(SHOP, &own);
    sign(&shop, SHOP, "before.checklist.json").never_says("ANOTHER ZONE").says(&["of “Hollow Tarn”"]);
    shop.trust(|body| other.clone_into(&mut body.zone));
    shop.put(SHOP, own.replacen(zone(), other, 1));
    sign(&shop, SHOP, "moved.checklist.json").says(&["ANOTHER ZONE: at the last signature it was", zone()]);
    shop.put(SHOP, own.replacen(zone(), other, 1).replacen("name: Hollow Tarn", "name: Quarry Nine", 1));
    sign(&shop, SHOP, "named.checklist.json").says(&["of “Quarry Nine”"]);
}

/// With what was remembered gone, a shop file put back would pass for the first one: the checklists that lie here tell
/// better, and which of the two it was.
#[test]
fn what_was_remembered_and_is_gone_is_missed() {
    let shop = short();
    let old = shop.read(SHOP);
    sign(&shop, SHOP, "1.checklist.json");
    std::fs::remove_file(shop.path(MEMORY)).unwrap();
    sign(&shop, SHOP, "2.checklist.json").says(&["WHAT WAS REMEMBERED OF THE SHOP FILE IS GONE", "this very file"]);
    shop.put(SHOP, reviewed(&old));
    std::fs::remove_file(shop.path(MEMORY)).unwrap();
    sign(&shop, SHOP, "3.checklist.json")
        .says(&["WHAT WAS REMEMBERED OF THE SHOP FILE IS GONE", "another one", "find out who took that away"])
        .never_says("no signature with a shop file is known here");
    // What cannot be read says so, and is no first time either; it is not the program's, and stays.
    shop.put(MEMORY, "{}");
    sign(&shop, SHOP, "4.checklist.json").says(&["what it was at the last signature cannot be read"]);
    assert_eq!(shop.read(MEMORY), "{}");
}

/// What changed in an entry that the last checklist drew on is told with both values.
#[test]
fn a_changed_value_is_told_with_what_it_was() {
    let shop = short();
    let old = shop.read(SHOP);
    sign(&shop, SHOP, "1.checklist.json");
    let (before, after) = old.split_once("name: Odile Varga").unwrap();
    let after = after.replacen("[rim wheels, isocyanates, filling pump]", "[rim wheels, isocyanates]", 1);
    shop.put(SHOP, reviewed(&format!("{before}name: Odile Varga{after}")));
    sign(&shop, SHOP, "2.checklist.json").says(&[
        "changed since",
        "crew OV, trained_in: “[rim wheels, isocyanates, filling pump]” then, “[rim wheels, isocyanates]” now",
        "what the others said before is in no checklist here",
    ]);
}
