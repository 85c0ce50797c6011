//! Several shops of one owner, and versions of a trust file that this account has not seen.

use crate::shop::folder::{OWNER, Ran, SECOND_OWNER, ShopFolder, TRUST, WORDS_FILE, owned};
use crate::shop::morning::zone;

/// Begins the trust file of another shop with the key of an owner.
fn begin(shop: &ShopFolder, owner: &str, name: &str, file: &str) -> Ran {
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

fn trust_of(shop: &ShopFolder, file: &str, owner: &str) -> Ran {
    shop.run(&owned(&["trust", "show", "--trust", file, "--owner", &format!("{owner}.pub.pem")]))
}

/// Accepts an owner by the words of the key and of the file, as they stand on paper.
fn accept(shop: &ShopFolder, file: &str, owner: &str) -> Ran {
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
    let shop = ShopFolder::new();
    shop.open_trust();
    begin(&shop, OWNER, ANSEL, "north.json").exits(3).names(&[OTHER]).says(&[
        "the trust file is of the shop “Hollow Tarn north”, and its owner's key is known here as that of the shop “Hollow Tarn”",
        "make one with `fillward key new`",
    ]);
    assert!(!shop.has("north.json"));
    // Made on an account that knows nothing of the first shop, it is refused on all that do.
    let elsewhere = ShopFolder::with_keys();
    begin(&elsewhere, OWNER, ANSEL, "north.json").exits(0);
    shop.write("north.json", elsewhere.read("north.json"));
    trust_of(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    accept(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    trust_of(&shop, "trust.json", OWNER).exits(0);
    // So it is with a version that is higher than that of the first: nobody of another shop starts anything here by it.
    let other = ShopFolder::new();
    other.trust(|_| {});
    other.trust(|trust| trust.shop = "Hollow Tarn north".to_owned());
    shop.write("north.json", other.read("trust.json"));
    trust_of(&shop, "north.json", OWNER).exits(3).names(&[OTHER]);
    shop.sign(&["--trust", "north.json"]).exits(2);
    shop.sign(&[]).exits(0);
}

/// With a key of its own each shop has versions of its own, also where one person owns both.
#[test]
fn two_shops_with_a_key_each_do_not_bar_each_other() {
    let shop = ShopFolder::new();
    (0..4).for_each(|_| shop.trust(|_| {}));
    shop.open_trust();
    std::fs::create_dir(shop.path("second")).unwrap();
    let new = ["key", "new", "--name", ANSEL, "--role", "owner", "--out", "second", "--passphrase-file", WORDS_FILE];
    shop.run(&new).exits(0);
    let own = format!("second/{OWNER}");
    begin(&shop, &own, ANSEL, "north.json").exits(0);
    trust_of(&shop, "north.json", &own).exits(0).says(&["Hollow Tarn north, version 1"]);
    accept(&shop, "north.json", &own).exits(0).says(&["“Hollow Tarn north”, version 1"]);
    trust_of(&shop, "trust.json", OWNER).exits(0).says(&["Hollow Tarn, version 5"]);
    // Who is accepted for one is nobody in the other, and an owner of the first is none of the second.
    trust_of(&shop, "north.json", OWNER).exits(3);
    begin(&shop, SECOND_OWNER, "Marit Osei", "third.json").exits(3).names(&[OTHER]);
    shop.sign(&[]).exits(0);
}

/// A shop that gets another name is accepted anew from its new paper, on every account but the owner's own; then its old
/// versions are as old as before.
#[test]
fn a_shop_with_a_new_name_is_accepted_anew() {
    let shop = ShopFolder::new();
    shop.open_trust();
    let before = shop.read("trust.json");
    shop.trust(|trust| trust.shop = "Hollow Tarn depot".to_owned());
    trust_of(&shop, "trust.json", OWNER).exits(3).names(&[OTHER]).says(&["accept it anew from its new paper"]);
    shop.sign(&[]).exits(3).names(&[OTHER]);
    accept(&shop, "trust.json", OWNER).exits(0).says(&["“Hollow Tarn depot”, version 2"]);
    shop.sign(&[]).exits(0);
    shop.write("trust.json", before);
    trust_of(&shop, "trust.json", OWNER).exits(3);
    accept(&shop, "trust.json", OWNER).exits(3);
}

/// Whoever opens or accepts a version behind others that this account has not seen is told so, once.
#[test]
fn versions_that_nobody_saw_are_told() {
    let shop = ShopFolder::new();
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
