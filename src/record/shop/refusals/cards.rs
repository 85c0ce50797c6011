//! Cards of machines that are not those of the tyre for which they are named.
//!
//! Must not know how a card is found.

use crate::document::prose::in_quotes;
use crate::document::{Code, Fault, Span};

/// A card of another machine than the one on which the tyre goes, or of another place on it.
pub(in crate::record::shop) fn other_machine(
    (one, card): (&str, &str),
    (named, mark, own): (Span, Span, Span),
    machine: &str,
    cards: &[&str],
) -> Fault {
    let cards = match cards {
        [] => format!("name the card of {machine}, or make one"),
        cards => format!("name the card of {machine}: {}", in_quotes(cards)),
    };
    Fault::new(Code::ShopOtherMachine, format!("the {one} `{card}` is not of `{machine}`"))
        .label(named, "named here")
        .label(mark, "the tyre goes on this machine")
        .label(own, "the card is of this one")
        .help(format!("{cards}; where this one is right for {machine} as well, write `of: [{machine}]` into it"))
}

/// A card beside which there is one that is more of this tyre: of its axle, or by its machine's own name.
pub(in crate::record::shop) fn vaguer_card(
    card: &str,
    (named, mark, own): (Span, Span, Span),
    tyre: &str,
    better: &[&str],
) -> Fault {
    Fault::new(
        Code::ShopOtherMachine,
        format!("beside the machine card `{card}` there is one that is more of `{tyre}`"),
    )
    .label(named, "named here")
    .label(mark, "the tyre goes here")
    .label(own, "the card")
    .help(format!("name {}; where the tyre goes elsewhere on the machine, say where in its mark", in_quotes(better)))
}

/// Two cards for one place of one machine.
pub(in crate::record::shop) fn two_cards(machine: &str, first: Span, second: Span) -> Fault {
    Fault::new(Code::ShopMarkTwice, format!("two machine cards are for `{machine}`"))
        .label(second, "by this one")
        .label(first, "and by this one")
        .help(
            "keep the one that is right for it, and take the machine out of the other one; where they are for different \
             axles, say so in their marks",
        )
}
