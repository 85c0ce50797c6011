//! `fillward trust retire --pack`: what the owner is told comes about.

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, OWNER, Ran};

fn retire(shop: &Shop<Folder>, pack: &str) -> Ran {
    let by = format!("{OWNER}.key.pem");
    let owner = ["--trust", "trust.json", "--by", &by, "--passphrase-file", "words.txt", "--yes"];
    shop.run(&[&["trust", "retire", "--pack", pack][..], &owner].concat()).exits(0)
}

/// Without the base pack nothing is signed; without a local one jobs are judged without its rules.
#[test]
fn the_end_of_an_approval_is_told_as_what_it_does() {
    let pack = common::local_pack("county-north", "supervisor");
    let shop = || Shop::with(&[&pack]).in_folder();
    let county = shop();
    county.sign(&[]).exits(3).names(&["pack-left-out"]);
    retire(&county, "county-north").says(&[
        "warning: once the approval of county-north has ended, jobs are judged without the rules of county-north",
        "and may pass that it would hold",
    ]);
    county.sign(&[]).exits(0).says(&["The fill may start"]);
    county.sign(&["--pack", "local.yaml", "--out", "with.checklist.json"]).exits(3).names(&["pack-approval-over"]);
    let base = shop();
    retire(&base, "tyre-fill").says(&["warning: once the approval of tyre-fill has ended, nothing can be signed"]);
    base.sign(&["--pack", "local.yaml"]).exits(3).names(&["pack-approval-over"]);
    base.sign(&[]).exits(3);
}

/// An owner is named by the words on the paper where the file is not at hand, to accept the key and to take that back.
#[test]
fn an_owner_is_accepted_and_disowned_by_words() {
    let shop = Shop::new().in_folder();
    let file = format!("{OWNER}.pub.pem");
    let line = |of: &[&str], begins: &str| {
        let out = shop.run(of).exits(0).out;
        out.lines().find_map(|line| line.trim().strip_prefix(begins)).unwrap().trim().to_owned()
    };
    let words = line(&["key", "show", &file], "words");
    let of_file = line(&["trust", "show", "--trust", "trust.json"], "words of this version");
    std::fs::remove_file(shop.path(&file)).unwrap();
    let disown = |owner: &str| shop.run(&["trust", "disown", "--owner", owner]);
    disown(&words).exits(0).says(&["Not accepted on this account any more", &words]);
    disown(&words).exits(0).says(&["was not accepted on this account"]);
    let sign = ["sign", "job.yaml", "--yes", "--trust", "trust.json", "--owner", &words];
    let sign = || shop.run(&crate::shop::folder::with_key(&sign, crate::shop::folder::ODILE));
    sign().exits(3).names(&["owner-not-accepted"]);
    let accept = |owner: &str| {
        shop.run(&["trust", "accept", "--trust", "trust.json", "--owner", owner, "--trust-words", &of_file])
    };
    accept(&of_file).exits(3).names(&["trust-not-by-owner"]);
    accept(&words).exits(0).says(&["Accepted on this account"]);
    sign().exits(0);
}
