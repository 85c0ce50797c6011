//! Several shops of one owner, and versions of a trust file that this account has not seen.

use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, OWNER, Ran, SECOND_OWNER, TRUST, WORDS_FILE, owned, with_key};
use crate::shop::morning::{a_second_later, zone};

/// Begins the trust file of another shop with the key of an owner.
fn begin(shop: &Shop<Folder>, owner: &str, name: &str, file: &str) -> Ran {
    let (public, private) = (format!("{owner}.pub.pem"), format!("{owner}.key.pem"));
    shop.run(&owned(&[
        "trust",
        "new",
        "--shop",
        "Hollow Tarn north",
        "--zone",
        zone(),
        "--name",
        name,
        "--key",
        &public,
        "--trust",
        file,
        "--by",
        &private,
        "--passphrase-file",
        WORDS_FILE,
        "--yes",
    ]))
}

fn trust_of(shop: &Shop<Folder>, file: &str, owner: &str) -> Ran {
    shop.run(&owned(&["trust", "show", "--trust", file, "--owner", &format!("{owner}.pub.pem")]))
}

/// Accepts an owner by the words of the key and of the file, as they stand on paper.
fn accept(shop: &Shop<Folder>, file: &str, owner: &str) -> Ran {
    let public = format!("{owner}.pub.pem");
    let words = |ran: Ran, before: &str| {
        ran.out.lines().find_map(|line| line.trim().strip_prefix(before)).unwrap().trim().to_owned()
    };
    let of_key = words(shop.run(&["key", "show", &public]).exits(0), "words");
    let of_file = words(shop.run(&["trust", "show", "--trust", file]).exits(0), "words of this version");
    shop.run(&owned(&[
        "trust",
        "accept",
        "--trust",
        file,
        "--owner",
        &public,
        "--owner-words",
        &of_key,
        "--trust-words",
        &of_file,
    ]))
}

const OTHER: &str = "trust-of-another-shop";
const ANSEL: &str = "Ansel Prewitt-Okoro";

/// The law: one owner's key is for one shop. A second shop with the first one's key is refused where the first is known, by
/// whoever signs, opens or accepts it, and whatever its version is; a cure is named.
#[test]
fn an_owners_key_is_for_one_shop() {
    let shop = Shop::new().in_folder();
    shop.open_trust();
    begin(&shop, OWNER, ANSEL, "north.json").exits(3).names(&[OTHER]).says(&[
        "the trust file is of the shop “Hollow Tarn north”, and its owner's key is known here as that of the shop “Hollow Tarn”",
        "make one with `fillward key new`",
    ]);
    assert!(!shop.has("north.json"));
    // Made on an account that knows nothing of the first shop, it is refused on all that do.
    let elsewhere = Shop::new().in_empty_folder().with_keys();
    begin(&elsewhere, OWNER, ANSEL, "north.json").exits(0);
    shop.put("north.json", elsewhere.read("north.json"));
    trust_of(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    accept(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    trust_of(&shop, "trust.json", OWNER).exits(0);
    // So it is with a version that is higher than that of the first: nobody of another shop starts anything here by it.
    let other = Shop::new().in_folder();
    other.trust(|_| {});
    other.trust(|trust| trust.shop = "Hollow Tarn north".to_owned());
    shop.put("north.json", other.read("trust.json"));
    trust_of(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    shop.sign(&["--trust", "north.json"]).exits(2);
    shop.sign(&[]).exits(0);
}

/// The law: by the trust file of another shop nothing is known of a checklist, and nothing is said of it but that.
/// Whoever is of both shops has signed it or not.
#[test]
fn a_checklist_of_another_shop_does_not_fit() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    std::fs::create_dir(shop.path("second")).unwrap();
    let new = ["key", "new", "--name", ANSEL, "--role", "owner", "--out", "second", "--passphrase-file", WORDS_FILE];
    shop.run(&new).exits(0);
    let own = format!("second/{OWNER}");
    begin(&shop, &own, ANSEL, "north.json").exits(0);
    let (by, of) = (format!("{own}.key.pem"), format!("{ODILE}.pub.pem"));
    let more = ["--trust", "north.json", "--by", &by, "--passphrase-file", WORDS_FILE, "--yes"];
    let add = ["trust", "add", "Odile Varga", "--role", "supervisor", "--key", &of];
    let public = format!("{own}.pub.pem");
    let verify =
        |file: &str| shop.run(&["verify", file, "--record", "job.yaml", "--trust", "north.json", "--owner", &public]);
    for both in [false, true] {
        if both {
            shop.run(&[&add[..], &more].concat()).exits(0);
        }
        accept(&shop, "north.json", &own).exits(0);
        verify("job.checklist.json")
            .exits(1)
            .names(&["other-shop"])
            .says(&["It does not fit what was given. Do not start", "by that nothing is known of it"])
            .never_says("In order");
    }
    // Whoever is of both has not signed another content.
    shop.put("forged.json", shop.read("job.checklist.json").replacen("\"PASS\"", "\"HOLD\"", 1));
    verify("forged.json").exits(3).names(&["changed", "other-shop"]);
    // It does not stand beside those of this shop either.
    shop.put("copy.json", shop.read("job.checklist.json"));
    shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(0);
}

/// With a key of its own each shop has versions of its own, also where one person owns both.
#[test]
fn two_shops_with_a_key_each_do_not_bar_each_other() {
    let shop = Shop::new().in_folder();
    (0..4).for_each(|_| shop.trust(|_| {}));
    shop.open_trust();
    std::fs::create_dir(shop.path("second")).unwrap();
    let new = ["key", "new", "--name", ANSEL, "--role", "owner", "--out", "second", "--passphrase-file", WORDS_FILE];
    shop.run(&new).exits(0);
    let own = format!("second/{OWNER}");
    begin(&shop, &own, ANSEL, "north.json").exits(0);
    trust_of(&shop, "north.json", &own).exits(0).says(&["“Hollow Tarn north”, version 1"]);
    accept(&shop, "north.json", &own).exits(0).says(&["“Hollow Tarn north”, version 1"]);
    trust_of(&shop, "trust.json", OWNER).exits(0).says(&["“Hollow Tarn”, version 5"]);
    // Who is accepted for one is nobody in the other, and an owner of the first is none of the second.
    trust_of(&shop, "north.json", OWNER).exits(3);
    begin(&shop, SECOND_OWNER, "Marit Osei", "third.json").exits(3).names(&[OTHER]);
    shop.sign(&[]).exits(0);
}

/// A file that only says another name is of another shop: the same one says under which names it was known before.
#[test]
fn a_name_alone_makes_no_renamed_shop() {
    let shop = Shop::new().in_folder();
    shop.open_trust();
    let before = shop.read("trust.json");
    shop.trust(|trust| trust.shop = "Hollow Tarn north".to_owned());
    trust_of(&shop, "trust.json", OWNER).exits(3).names(&[OTHER]).says(&["says so with `fillward trust rename`"]);
    shop.sign(&[]).exits(3).names(&[OTHER]);
    // Whoever has the new paper knows better.
    accept(&shop, "trust.json", OWNER).exits(0).says(&["“Hollow Tarn north”, version 2"]);
    shop.sign(&[]).exits(0);
    shop.put("trust.json", before);
    trust_of(&shop, "trust.json", OWNER).exits(3);
    accept(&shop, "trust.json", OWNER).exits(3);
    // Nor does the owner sign such a version by hand.
    let shop = Shop::new().in_folder();
    let text = shop.trust_text(|trust| {
        trust.version = 2;
        trust.shop = "Hollow Tarn north".to_owned();
    });
    shop.put("trust.yaml", text);
    let sign = with_key(&["trust", "sign", "trust.yaml", "--out", "trust.json", "--yes"], OWNER);
    shop.run(&sign)
        .exits(2)
        .names(&["trust-unsound"])
        .says(&["does not say rightly what the shop was called", "`fillward trust rename`"]);
}

/// The law: a shop with another name is the same shop. What was signed before is as good as it was, on every account, with
/// no paper more; and what calls itself by the old name afterwards is none of it.
#[test]
fn a_renamed_shop_keeps_its_past() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    shop.put("before.json", shop.read("trust.json"));
    let owner = |arguments: &[&str]| {
        let by = format!("{OWNER}.key.pem");
        let more = ["--trust", "trust.json", "--by", &by, "--passphrase-file", WORDS_FILE, "--yes"];
        shop.run(&[owned(&["trust"]), owned(arguments), owned(&more)].concat())
    };
    let rename = |name: &str| owner(&["rename", name]);
    rename("Hollow Tarn").exits(2).says(&["the shop is called `Hollow Tarn` already"]);
    rename("Tarn and sons").exits(0).says(&[
        "~ shop: Tarn and sons",
        "before: Hollow Tarn",
        "+ name of the shop through version 1: Hollow Tarn",
    ]);
    let verify = || shop.verify(&["job.checklist.json", "--record", "job.yaml"]);
    verify().exits(0).says(&[
        "The fill may start",
        "of “Hollow Tarn”, by its trust file version 1",
        "“Tarn and sons”, version 2",
    ]);
    // What is signed now is of the new name, and both stand.
    a_second_later();
    shop.sign(&["--out", "later.checklist.json"]).exits(0);
    shop.verify(&["later.checklist.json", "--record", "job.yaml"])
        .exits(0)
        .says(&["of “Tarn and sons”, by its trust file version 2"]);
    rename("Tarn works").exits(0);
    shop.verify(&["later.checklist.json", "--record", "job.yaml"]).exits(0);
    std::fs::remove_file(shop.path("later.checklist.json")).unwrap();
    shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(0);
    shop.run(&[&["trust", "show"][..], &TRUST].concat())
        .exits(0)
        .says(&["called “Hollow Tarn” through version 1", "called “Tarn and sons” through version 2"]);
    // The versions of one row stay one row.
    let newest = shop.read("trust.json");
    shop.put("trust.json", shop.read("before.json"));
    trust_of(&shop, "trust.json", OWNER).exits(3).names(&["trust-older"]);
    shop.put("trust.json", newest);
    // Another account that knows the shop by its old name learns of the new one, once; one that is new goes by the paper.
    shop.forget_trust();
    let seen = |file: &str| trust_of(&shop, file, OWNER);
    seen("before.json").exits(0).never_says("is called");
    seen("trust.json").exits(0).says(&["note: the shop “Hollow Tarn” is called “Tarn works” now"]);
    seen("trust.json").exits(0).never_says("note: the shop");
}

/// Whoever opens or accepts a version behind others that this account has not seen is told so, once.
#[test]
fn versions_that_nobody_saw_are_told() {
    let shop = Shop::new().in_folder();
    shop.open_trust();
    let go_on = |times: usize| (0..times).for_each(|_| shop.trust(|_| {}));
    let printed = || shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    go_on(1);
    printed().never_says("saw version");
    go_on(3);
    printed().says(&[
        "note: this account saw version 2 of the trust file last, and this is version 5: 3 to 4 were never seen",
    ]);
    printed().never_says("saw version");
    go_on(2);
    accept(&shop, "trust.json", OWNER).exits(0).says(&[
        "“Hollow Tarn”, version 7",
        "saw version 5 of the trust file last, and this is version 7: 6 was never seen",
    ]);
    printed().never_says("saw version");
    // An account that has seen none has nothing to compare with, and goes by the paper.
    shop.forget_trust();
    printed().never_says("saw version");
}
