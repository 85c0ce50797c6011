//! What can happen at a desk, honest or not, and how often each is drawn.

use fillward::vocabulary::Role;
use proptest::prelude::*;
use proptest::sample::Index;

use super::model::{Meant, Record, Text};
use crate::shop::counter::MALLORY;
use crate::shop::{MAIRE, ODILE, WREN};

/// Somebody who comes to the shop later.
pub(super) const IVO: u8 = 6;

/// What an owner changes with the next version.
#[derive(Debug, Clone, Copy)]
pub(super) enum Change {
    Add,
    Retire(u8),
    /// The role of a supervisor alone, or its return.
    Role(u8, bool),
    /// From so many minutes ago.
    Revoke(u8, u8),
    /// For so many days from now.
    Renew(u8),
    EndPack,
    ApprovePack,
}

/// What is done to a signed file.
#[derive(Debug, Clone, Copy)]
pub(super) enum Tampering {
    DropSignature(bool),
    DoubleSignature,
    /// Of another file.
    AddSignature(Index),
    /// In the record inside.
    Word,
}

/// What is made up before it is signed with a key of the shop.
#[derive(Debug, Clone, Copy)]
pub(super) enum Forgery {
    /// Nothing, but the time of the signature.
    Nothing,
    Verdict,
    LastsLonger,
    OtherJob,
    OtherPoint,
    FewerRoles,
    OtherVersion,
    /// So many minutes before.
    JudgedEarlier(u8),
}

/// One thing that happens.
#[derive(Debug, Clone, Copy)]
pub(super) enum Act {
    Next(Change),
    /// A trust file that once lay there, or that somebody made, is put in the place of the one that lies there.
    PutBack(Index),
    /// An owner's draft of a version that there is, from before what that changes, comes in its place.
    Draft(Index),
    /// Somebody makes a trust file of the shop with an owner's key of their own.
    Foreign,
    /// The owner's key that is given with the acts is that person's, or the shop's own.
    Pin(bool),
    Save,
    Restore(Index),
    /// Another account, which has accepted the owner and seen nothing, or has not even accepted.
    NewAccount(bool),
    Home(bool),
    /// Minutes.
    Clock(i16),
    Write(Record),
    Permit {
        by: u8,
        role: Role,
        asked_by: u8,
        minutes: u8,
    },
    Sign {
        by: u8,
        role: Role,
        permit: Option<Index>,
        /// With the key out of its file, whose rounds take their time.
        whole: bool,
    },
    Countersign(Index, u8, Role),
    /// As somebody who has the key would: with a time of their choice, so many minutes ago.
    Forge(Forgery, u8, Role, i16),
    Tamper(Index, Tampering),
    Verify(Index, Meant),
}

fn record() -> impl Strategy<Value = Record> {
    let text = prop_oneof![
        6 => Just(Text::Passing),
        1 => Just(Text::Weighed),
        1 => Just(Text::OtherJob),
        3 => Just(Text::Solvent),
        1 => Just(Text::MoreSolvent),
        1 => Just(Text::Held)];
    (text, prop::bool::weighted(0.2)).prop_map(|(text, air)| Record { text, air })
}

fn person() -> impl Strategy<Value = u8> {
    prop_oneof![6 => Just(ODILE), 3 => Just(WREN), 3 => Just(MAIRE), 1 => Just(IVO), 1 => Just(MALLORY)]
}

/// Somebody with a role, most often their own.
fn signer() -> impl Strategy<Value = (u8, Role)> {
    let own = |seed| if seed == MAIRE { Role::SafetyOfficer } else { Role::Supervisor };
    let other = prop_oneof![Just(Role::Supervisor), Just(Role::SafetyOfficer), Just(Role::Owner)];
    (person(), prop::option::weighted(0.15, other)).prop_map(move |(seed, role)| (seed, role.unwrap_or(own(seed))))
}

fn change() -> impl Strategy<Value = Change> {
    let somebody = || prop_oneof![Just(ODILE), Just(WREN), Just(MAIRE)];
    prop_oneof![
        1 => Just(Change::Add),
        1 => somebody().prop_map(Change::Retire),
        2 => (prop_oneof![Just(ODILE), Just(WREN)], any::<bool>()).prop_map(|(who, back)| Change::Role(who, back)),
        1 => (somebody(), 0_u8..60).prop_map(|(who, ago)| Change::Revoke(who, ago)),
        4 => (0_u8..200).prop_map(Change::Renew),
        1 => Just(Change::EndPack),
        1 => Just(Change::ApprovePack)]
}

fn forgery() -> impl Strategy<Value = Forgery> {
    prop_oneof![
        2 => Just(Forgery::Nothing),
        2 => Just(Forgery::Verdict),
        1 => Just(Forgery::LastsLonger),
        1 => Just(Forgery::OtherJob),
        1 => Just(Forgery::OtherPoint),
        1 => Just(Forgery::FewerRoles),
        1 => Just(Forgery::OtherVersion),
        1 => (1_u8..90).prop_map(Forgery::JudgedEarlier)]
}

fn tampering() -> impl Strategy<Value = Tampering> {
    prop_oneof![
        any::<bool>().prop_map(Tampering::DropSignature),
        Just(Tampering::DoubleSignature),
        any::<Index>().prop_map(Tampering::AddSignature),
        Just(Tampering::Word),
    ]
}

fn meant() -> impl Strategy<Value = Meant> {
    let job = prop::option::weighted(0.2, prop_oneof![4 => Just("HT-0311"), 1 => Just("HT-0312")]);
    (job, prop::option::weighted(0.2, any::<bool>())).prop_map(|(job, air)| Meant { job, air })
}

fn act() -> impl Strategy<Value = Act> {
    let index = any::<Index>;
    prop_oneof![
        3 => change().prop_map(Act::Next),
        2 => index().prop_map(Act::PutBack),
        1 => index().prop_map(Act::Draft),
        1 => Just(Act::Foreign),
        1 => prop::bool::weighted(0.25).prop_map(Act::Pin),
        1 => Just(Act::Save),
        1 => index().prop_map(Act::Restore),
        1 => prop::bool::weighted(0.8).prop_map(Act::NewAccount),
        1 => prop::bool::weighted(0.85).prop_map(Act::Home),
        5 => prop_oneof![6 => 1_i16..12, 1 => -40_i16..60, 1 => 60_i16..100].prop_map(Act::Clock),
        4 => record().prop_map(Act::Write),
        4 => (signer(), person(), 10_u8..90)
            .prop_map(|((by, role), asked_by, minutes)| Act::Permit { by, role, asked_by, minutes }),
        14 => (signer(), prop::option::of(index()), prop::bool::weighted(0.02))
            .prop_map(|((by, role), permit, whole)| Act::Sign { by, role, permit, whole }),
        7 => (index(), signer()).prop_map(|(file, (by, role))| Act::Countersign(file, by, role)),
        3 => (forgery(), signer(), -10_i16..60).prop_map(|(how, (by, role), ago)| Act::Forge(how, by, role, ago)),
        2 => (index(), tampering()).prop_map(|(file, how)| Act::Tamper(file, how)),
        6 => (index(), meant()).prop_map(|(file, meant)| Act::Verify(file, meant))]
}

pub(super) fn acts() -> impl Strategy<Value = Vec<Act>> {
    prop::collection::vec(act(), 4..28)
}
