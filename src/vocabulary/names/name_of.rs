//! What a text can be the name of.
//!
//! Must not know what a name is made of.

/// What a text is the name of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NameOf {
    /// A person of the shop.
    Person,
    /// Somebody of another house, whose part may follow the name behind a comma.
    Outsider,
    /// A lot of material, as its maker numbers it.
    Lot,
    /// A job, as the work order numbers it.
    Job,
    /// A tyre with its rim, by machine and place.
    Tyre,
    /// A pump, by its mark in the shop.
    Pump,
    /// A gauge or a thermometer, by its mark in the shop.
    Instrument,
    /// What something heavy is lifted with.
    Gear,
    /// Where the work is done.
    Site,
    /// Where something stands while it cures.
    Place,
    /// A maker's data sheet of a material, or the material itself as the sheet names it.
    Sheet,
    /// A document of another maker.
    Document,
}

impl NameOf {
    /// The noun with its article, for sentences.
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Person | Self::Outsider => "a person",
            Self::Lot => "a lot",
            Self::Job => "a job",
            Self::Tyre => "a tyre with its rim",
            Self::Pump => "a pump",
            Self::Instrument => "an instrument",
            Self::Gear => "lifting gear",
            Self::Site => "a site",
            Self::Place => "a place for the cure",
            Self::Sheet => "a data sheet or its system",
            Self::Document => "a document",
        }
    }

    /// What is to be written, as the end of a cure.
    pub const fn due(self) -> &'static str {
        match self {
            Self::Person => "write first and last name of one person, with their capitals and nothing else",
            Self::Outsider => {
                "write first and last name of who signed with their capitals, and behind a comma for whom"
            }
            Self::Lot => {
                "copy all that the label of this container has behind the word for lot, or leave it empty if nobody can read it"
            }
            Self::Job => {
                "write the number of the work order; a shop without numbers takes the day and a count, such as 2026-03-04 no 2"
            }
            Self::Tyre => "write which machine it is, and where on it the tyre goes, such as `loader 4, left front`",
            Self::Pump | Self::Instrument => {
                "write the mark that the shop has put on it, such as a letter and a number"
            }
            Self::Gear => {
                "write which machine lifts and carries, such as `forklift 2`; only a wheel that is light when filled is lifted `by hand` or `by hand, two people`"
            }
            Self::Site => "write where the fill is done, so that somebody else finds it, such as `depot, east bay`",
            Self::Place => "choose the place, look at it, and write which it is, such as `east bay floor, grid 3`",
            Self::Sheet => "copy title, grade and edition from the maker's paper",
            Self::Document => "write which document gives it, with its page",
        }
    }
}
