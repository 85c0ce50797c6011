//! The law of names: a shop has one name in each version, and what is said to be of a version is the shop's by the name
//! of that version and by no other.

use fillward::checklist::trust::{FormerName, Pins, Trust, TrustBody};
use proptest::prelude::*;

use crate::shop::{MAIRE, Shop, key, later};

const NAMES: [&str; 3] = ["Hollow Tarn", "Tarn and sons", "Tarn works"];

fn flaws(body: TrustBody) -> Vec<&'static str> {
    Trust::of(body).err().unwrap_or_default().iter().map(|reason| reason.code().word()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

    /// Each version is renamed once, twice, to what it was called, or not at all; its officer approves now and then.
    #[test]
    fn a_version_has_the_name_that_it_was_signed_with(
        acts in prop::collection::vec((prop::collection::vec(0..3_usize, 0..3), any::<bool>()), 1..8),
    ) {
        let mut body = Shop::new().trust_body();
        body.version = 1;
        let mut called = vec![body.shop.clone()];
        for (names, approves) in acts {
            let before = Trust::of(body.clone()).unwrap();
            body = body.next(later(0));
            for name in names {
                let same = body.shop == NAMES[name];
                prop_assert_eq!(body.rename(NAMES[name]).is_err(), same);
            }
            if approves {
                let mut anew = body.packs[0].clone();
                anew.shop = None;
                anew.sign(&body.shop, &key(MAIRE), later(0)).unwrap();
                body.packs.push(anew);
            }
            prop_assert_eq!(before.renames_otherwise(&body), None);
            called.push(body.shop.clone());
            prop_assert_eq!(flaws(body.clone()), [""; 0], "{:?}", body.formerly);
        }
        for (version, name) in (1..).zip(&called) {
            prop_assert_eq!(body.name_in(version), name);
            for other in NAMES {
                let pins = Pins { shop: Some(other.to_owned()), least_version: version, ..Pins::default() };
                prop_assert_eq!(pins.is_of_another(&body), other != name, "{} {} {:?}", version, other, body.formerly);
            }
        }
        // Nobody takes a name out, adds one or puts one elsewhere.
        let last = Trust::of(body.clone()).unwrap();
        let next = body.next(later(0));
        let otherwise = |change: &dyn Fn(&mut Vec<FormerName>)| {
            let mut next = next.clone();
            change(&mut next.formerly);
            next.formerly != body.formerly && last.renames_otherwise(&next).is_none()
        };
        prop_assert!(!otherwise(&|names| names.clear()));
        prop_assert!(!otherwise(&|names| drop(names.pop())));
        let invented = || FormerName { shop: "Blyth tyres".to_owned(), through: body.version };
        prop_assert!(!otherwise(&|names| names.push(invented())));
        prop_assert!(!otherwise(&|names| names.iter_mut().for_each(|name| name.through += 1)));
        let mut unsaid = next.clone();
        unsaid.shop = "Blyth tyres".to_owned();
        prop_assert!(last.renames_otherwise(&unsaid).is_some());
    }
}

#[test]
fn names_that_cannot_have_been_are_refused() {
    let with = |change: &dyn Fn(&mut TrustBody)| {
        let mut body = Shop::new().trust_body();
        body.rename("Tarn works").unwrap();
        change(&mut body);
        flaws(body)
    };
    let unsound = ["checklist/trust-unsound"];
    assert_eq!(with(&|_| {}), [""; 0]);
    let former = |shop: &str, through| FormerName { shop: shop.to_owned(), through };
    assert_eq!(with(&|body| body.formerly[0].through = 0), unsound);
    assert_eq!(with(&|body| body.formerly[0].through = body.version), unsound);
    assert_eq!(with(&|body| body.formerly.push(former("Tarn and sons", 2))), unsound);
    assert_eq!(with(&|body| body.formerly.insert(0, former("Hollow Tarn", 1))), unsound);
    assert_eq!(with(&|body| body.formerly.insert(0, former("", 1))), unsound);
    assert_eq!(with(&|body| body.formerly.insert(0, former("Tarn and sons", 1))), [""; 0]);
    // An approval is for a name that the shop had, and for the one that was signed.
    let approved_for = |shop: Option<&str>| with(&|body| body.packs[0].shop = shop.map(str::to_owned));
    assert_eq!(approved_for(Some("Hollow Tarn")), [""; 0]);
    assert_eq!(approved_for(None), unsound);
    assert!(approved_for(Some("Blyth tyres")).contains(&"checklist/trust-unsound"));
    // Its officer's own signature makes the name of another shop no name of this one, and that is told by the name.
    let signed_for = |shop: &str| {
        let mut body = Shop::new().trust_body();
        body.rename("Tarn works").unwrap();
        body.packs[0].sign(shop, &key(MAIRE), later(0)).unwrap();
        body.packs[0].shop = Some(shop.to_owned());
        Trust::of(body).err().unwrap_or_default().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(signed_for("Hollow Tarn"), [""; 0]);
    let elsewhere = signed_for("Blyth tyres");
    assert!(elsewhere.iter().any(|told| told.contains("Blyth tyres")), "{elsewhere:?}");
    // A first version had no name before.
    assert_eq!(with(&|body| body.version = 1), unsound);
}
