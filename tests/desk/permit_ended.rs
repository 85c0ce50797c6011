//! A permit whose signers' keys have ended since: what starts by it is refused before anybody signs.

use std::path::Path;

use fillward::checklist::trust::Ending;
use fillward::desk::{By, Consent, OwnerAsks};
use fillward::vocabulary::Role;

use crate::shop::counter::{FILE, RECORD, TRUST, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, OWNER, Shop, WREN, passing};

const PERMIT: &str = "permit.json";

/// A shop whose job passes by a permit, asked for by Wren Castellane, who has signed that or not, and given by Maire
/// Lindqvist.
fn permitted(asker_signs: bool) -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.put(RECORD, passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1));
    let by_maire = (MAIRE, Role::SafetyOfficer);
    let mut order = counter.permit_order("solvent-excess");
    if asker_signs {
        order.by = By::Asker { name: "Wren Castellane".to_owned() };
        counter.permit((WREN, Role::Supervisor), &order).unwrap();
        counter.give(by_maire).unwrap();
    } else {
        counter.permit(by_maire, &order).unwrap();
    }
    counter
}

fn retire(counter: &Shop<World>, person: &str) {
    counter.clock(60);
    let (out, desk, why) = (Path::new(TRUST), counter.desk(), "left");
    let asks = OwnerAsks::EndKeys { person, keys: Vec::new(), how: Ending::Retired, from: None, why };
    let draft = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
    with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    counter.clock(120);
}

/// The law: what starts by a permit is signed only while the key of whoever permitted stands. Who asked, and signed that,
/// has no weaker permit than who asked by word of mouth.
#[test]
fn nothing_is_signed_by_a_permit_whose_key_has_ended() {
    for asker_signs in [false, true] {
        for (leaves, due) in [("Maire Lindqvist", vec!["key-ended"]), ("Wren Castellane", vec![])] {
            let counter = permitted(asker_signs);
            retire(&counter, leaves);
            let signed = counter.sign(|order| order.permits = vec![counter.source(PERMIT)]);
            match signed {
                Ok(signed) => assert!(due.is_empty() && signed.report.may_start(), "{leaves}: {:?}", signed.report),
                refusal => assert_eq!(refused(refusal), due, "{leaves}, {asker_signs}"),
            }
            assert_eq!(counter.has(FILE), due.is_empty(), "{leaves}, {asker_signs}");
        }
    }
}
