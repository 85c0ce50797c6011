//! Why an act did not come about, as values: a face finds the words, and whether the answer is no or nothing.
//!
//! Must not know words, or exit codes.

use std::path::{Path, PathBuf};

use super::world::{NoPassphrase, StoreFault, Trouble};
use crate::checklist::keys::{KeyFault, WordsDiffer};
use crate::checklist::trust::{EditFault, TrustChange};
use crate::checklist::{NameFlaw, Reason};
use crate::document::{Fault, Faults};
use crate::units::{Instant, Zone, ZoneError};
use crate::vocabulary::FileSort;

/// Why an act did not come about.
#[derive(Debug)]
pub enum Refusal {
    /// A document could not be read or kept.
    Store(StoreFault),
    /// The text of a document has faults.
    Invalid(Faults),
    /// Something speaks against a signature or a signed document.
    Reasons(Vec<Reason>),
    /// Something speaks against a trust file.
    Trust {
        /// The file.
        name: PathBuf,
        /// What does.
        reasons: Vec<Reason>,
    },
    /// Something speaks against what a trust file is asked to say.
    TrustOrder(Vec<Reason>),
    /// What is remembered of trust files is not as it was written: which version is the latest is not known.
    Memory {
        /// Under which name it is kept.
        name: PathBuf,
    },
    /// A key that cannot be used.
    Key {
        /// Under which name it is kept.
        name: PathBuf,
        /// What is wrong with it.
        fault: KeyFault,
    },
    /// A passphrase that is kept somewhere, and is not that of the key.
    OtherPassphrase {
        /// Under which name the key is kept.
        name: PathBuf,
        /// Where the passphrase is.
        kept: PathBuf,
    },
    /// There is no passphrase.
    Passphrase(NoPassphrase),
    /// There are no random bytes.
    NoRandomness {
        /// What the system says.
        why: String,
    },
    /// The clock shows a time that cannot be.
    Clock,
    /// What was asked for cannot be done as it was asked for.
    Unfit(Unfit),
    /// The job is held, and its signature was not asked for.
    Held,
    /// What went wrong once a document was signed and in its place: nobody may be told that nothing was signed.
    AfterSigning(Box<Self>),
}

/// What is wrong with what was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfit {
    /// A permit for a record without a job number.
    NoJobNumber,
    /// A permit for a rule that there is not.
    NoSuchRule {
        /// What was asked for.
        rule: String,
    },
    /// An edition of a pack whose files are no pack, or lack the one that names its edition.
    NoPack {
        /// The first of the files.
        name: PathBuf,
    },
    /// An assembly that the record does not have.
    NoSuchAssembly {
        /// The mark that was given.
        mark: String,
    },
    /// A permit that nobody needs: the rule is not broken, or holds nothing.
    NotNeeded {
        /// `pack/rule`.
        code: String,
        /// What is so instead.
        since: NoNeed,
    },
    /// A permit for one subject, of several for which the rule is broken.
    BrokenForSeveral {
        /// `pack/rule`.
        code: String,
        /// The subjects.
        subjects: Vec<String>,
    },
    /// An instant to judge at that is not written by the clock of the shop's zone.
    AtOfAnotherZone(ZoneError),
    /// A zone to judge in that is not the one of the shop file.
    ZoneOfAnotherShop {
        /// The zone that was given.
        given: Zone,
        /// The zone of the shop file.
        shop: Zone,
    },
    /// Another file where a checklist is asked for.
    NoChecklist {
        /// Its name.
        name: PathBuf,
        /// What it says that it is.
        sort: FileSort,
    },
    /// A name that is neither somebody's in the trust file nor a key's.
    NobodyCalled {
        /// The name.
        name: String,
        /// Who is in the trust file.
        people: Vec<String>,
    },
    /// A shop file of another zone than the trust file's.
    ShopOfAnotherZone {
        /// The zone of the shop file.
        shop: Zone,
        /// The zone of the trust file.
        trust: Zone,
    },
    /// An end of a permit that is not written by the clock of the shop's zone.
    UntilOfAnotherZone(ZoneError),
    /// A permit whose end is past.
    UntilPast {
        /// The end.
        until: Instant,
    },
    /// A permit for which no reason is given.
    NoReason,
    /// A reason with a character that nobody sees.
    HiddenReason,
    /// A request that somebody has permitted already.
    PermittedAlready {
        /// The permit.
        name: PathBuf,
    },
    /// A request that is signed with another key than that of the person who is said to ask.
    OtherAsker {
        /// Who is said to ask.
        due: String,
        /// Whose key it is.
        found: String,
    },
    /// A private key beside which the public half of another one lies: the person was told that somebody else signs.
    OtherHalf {
        /// The private key.
        private: PathBuf,
        /// The public half of another one.
        public: PathBuf,
    },
    /// One permit given twice: the second one would set nothing aside.
    PermitTwice {
        /// The second one.
        name: PathBuf,
    },
    /// A key is to be put to use, and nobody has said whose trust file it is.
    NoOwner,
    /// Words from paper that are not those of an owner's key.
    OtherOwnerWords {
        /// Whose key it is said to be.
        who: String,
        /// In what they differ.
        how: WordsDiffer,
    },
    /// The number of checklists was not written as they are signed.
    NumberNotConfirmed,
    /// The job number was not written as it stands in the record.
    NotConfirmed,
    /// A name for a checklist under which nobody who looks for checklists finds it: a HOLD could be put out of sight.
    NotAChecklistName {
        /// The name.
        name: PathBuf,
    },
    /// A pack that is approved as it was asked for already.
    ApprovedAlready {
        /// Name and edition.
        pack: String,
    },
    /// No pack where one is to be approved.
    NothingToApprove,
    /// The name of the pack was not written as it is approved.
    PackNotConfirmed,
    /// A next version of the trust file that cannot be drafted or signed as it is.
    Draft(DraftFault),
    /// The version of the trust file was not written as it is signed.
    VersionNotConfirmed,
    /// A trust file that cannot be changed as it was asked for.
    Edit(EditFault),
    /// A name that no trust file takes.
    Name {
        /// The name.
        name: String,
        /// What is wrong with it.
        flaw: NameFlaw,
    },
    /// A passphrase that can be guessed by trying.
    ShortPassphrase,
    /// A passphrase that is long enough and can be guessed all the same: one letter many times, a row, a part again and
    /// again, a name that is known.
    EasyPassphrase,
    /// A passphrase that is to be another one, and is that which the key has.
    SamePassphrase,
}

/// Why nobody needs a permit of a rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoNeed {
    /// Nothing holds the job.
    Passes,
    /// The rule is broken, and only advises.
    Advises,
    /// The rule holds the job since the record does not show whether it is met.
    NotShown,
    /// The rule is broken for other subjects than the one that was named, which are these.
    OfOthers(Vec<String>),
    /// These rules hold the job, and this one does not.
    HeldBy(Vec<String>),
}

/// Why a next version of the trust file cannot be drafted or signed as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftFault {
    /// A draft of the trust file that says what neither an owner nor a safety officer has signed.
    OfNobody {
        /// Where it waits.
        name: PathBuf,
        /// What it says that nobody has signed.
        changes: Vec<TrustChange>,
    },
    /// A draft that cannot be read.
    Damaged {
        /// Where it waits.
        name: PathBuf,
        /// Why not.
        why: Box<Reason>,
    },
    /// No draft where the one that waits is to be signed.
    NothingWaits {
        /// Where it would wait.
        name: PathBuf,
    },
    /// A draft of a version that is in force, or that others came after.
    Past {
        /// Where it lies.
        name: PathBuf,
        /// Its version.
        version: i64,
        /// The version in force.
        in_force: i64,
    },
    /// An owner who ends the key that is to sign it.
    OwnKey {
        /// Who.
        who: String,
    },
    /// A draft that owners have signed already, and that an approval would make another one of.
    Signed {
        /// Where it waits.
        name: PathBuf,
        /// Who has signed it.
        by: Vec<String>,
    },
    /// Consent given beforehand, where the draft that waits holds changes of others.
    CarriedNotConfirmed {
        /// Where it waits.
        name: PathBuf,
    },
    /// Consent given beforehand, where the clock has gone on further than anybody expects.
    ClockFarAhead {
        /// What the clock shows.
        at: Instant,
        /// The latest time that is known.
        last: Instant,
    },
    /// A version that ends so many owners' keys that those left are fewer than the version in force asks for.
    TooFewOwnersLeft {
        /// How many the version in force asks for.
        needed: usize,
        /// How many of its owners could sign this one.
        left: usize,
    },
    /// A trust file in force of which no owner has a key that can still sign.
    NoOwnerLeft {
        /// Its version.
        version: i64,
    },
}

impl Refusal {
    /// A document that somebody else has changed meanwhile.
    pub(super) fn changed(name: &Path) -> Self {
        Self::Store(StoreFault { name: name.to_owned(), what: Trouble::Changed })
    }

    /// What went wrong once a signed document was in its place.
    pub(super) fn after_signing(self) -> Self {
        Self::AfterSigning(Box::new(self))
    }

    /// The refusal to keep a signed document: one that does not read back, or that the disk did not confirm, is there all
    /// the same.
    pub(super) fn of_writing(fault: StoreFault) -> Self {
        let written = fault.what.is_written();
        let refusal = Self::Store(fault);
        if written { refusal.after_signing() } else { refusal }
    }
}

impl From<StoreFault> for Refusal {
    fn from(fault: StoreFault) -> Self {
        Self::Store(fault)
    }
}

impl From<Faults> for Refusal {
    fn from(faults: Faults) -> Self {
        Self::Invalid(faults)
    }
}

impl From<Fault> for Refusal {
    fn from(fault: Fault) -> Self {
        Self::Reasons(vec![fault.into()])
    }
}

impl From<Reason> for Refusal {
    fn from(reason: Reason) -> Self {
        Self::Reasons(vec![reason])
    }
}

impl From<Vec<Reason>> for Refusal {
    fn from(reasons: Vec<Reason>) -> Self {
        Self::Reasons(reasons)
    }
}

impl From<NoPassphrase> for Refusal {
    fn from(none: NoPassphrase) -> Self {
        Self::Passphrase(none)
    }
}

impl From<EditFault> for Refusal {
    fn from(fault: EditFault) -> Self {
        Self::Unfit(Unfit::Edit(fault))
    }
}

impl From<Unfit> for Refusal {
    fn from(unfit: Unfit) -> Self {
        Self::Unfit(unfit)
    }
}

impl From<DraftFault> for Refusal {
    fn from(fault: DraftFault) -> Self {
        Self::Unfit(Unfit::Draft(fault))
    }
}
