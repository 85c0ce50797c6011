//! Floor 1, beside `units`: the closed lists of words that every floor above shares.
//!
//! What a fact or a rule is about ([`Subject`]), what a rule says of it ([`Outcome`]) and what follows ([`Verdict`]), at
//! which point of the work it is asked ([`HoldPoint`]), in which role a person signs ([`Role`]) and what kind of document
//! ([`Kind`]), what sorts of file people hand over ([`FileSort`]), which characters a text may show ([`unseen`]), which
//! texts name something ([`name_fault`]), whom ([`may_name`]), and where on a machine ([`TyrePlace`]). Each list stands here
//! once, so that no two floors can come to differ about it.
//!
//! This floor must not know anything else of the crate.

mod characters;
mod file_sort;
mod hold_point;
mod kind;
mod moment;
mod names;
mod one_list;
mod outcome;
mod role;
mod subject;

pub use characters::{Unseen, has_words, is_blank, quoted, shown, unseen, unseen_in_name};
pub use file_sort::FileSort;
pub use hold_point::{HoldPoint, HoldPoints};
pub use kind::Kind;
pub use moment::Moment;
pub use names::{
    Look, Misnomer, NameFault, NameOf, ONE_LOT, PlainWords, TyrePlace, are_of_one_mark, lifted_by_hand, may_be_one,
    may_name, may_name_house, misnomer, name_fault, names_one_thing, plain_name, unfit_on_a_checklist,
};
pub(crate) use one_list::one_list;
pub use outcome::{Outcome, Verdict};
pub use role::Role;
pub use subject::{PerSubject, Subject};
