//! What may follow the rim code: service words, ply rating, load range, tread codes, load index with speed symbol.
//!
//! The lists are from memory of the Tire and Rim Association's codes and of UN Regulations 54 and 106. This module must
//! not know the size.

use std::fmt;

use crate::tyre::load_index;
use crate::tyre::load_range::LoadRange;
use crate::units::{Exact, Quantity, Unit};

/// For what service or vehicle the tyre is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// `LT`: light truck.
    LightTruck,
    /// `ST`: special trailer.
    SpecialTrailer,
    /// `NHS`: not for highway service.
    NotForHighway,
    /// `IND`: industrial.
    Industrial,
    /// `FI`: farm implement.
    FarmImplement,
    /// `SL`: service limited to agricultural highway use.
    ServiceLimited,
    /// `MH`: mobile home.
    MobileHome,
    /// `AT`: all-terrain vehicle.
    AllTerrain,
    /// `TG`: tractor and grader rims.
    TractorGrader,
    /// `MPT`: multi-purpose truck.
    MultiPurpose,
    /// `TR`: truck rims of a diameter a little above the code.
    TruckRim,
    /// `ML`: mining and logging.
    MiningLogging,
    /// `HC`: low-platform trailers.
    LowPlatform,
    /// `ET`: extra tread depth.
    ExtraTread,
    /// `POR`: professional off-road.
    OffRoad,
    /// `FRT`: free rolling, not for driven axles.
    FreeRolling,
    /// `CP`: camper.
    Camper,
    /// `XL`: extra load.
    ExtraLoad,
    /// `RF`: reinforced.
    Reinforced,
    /// `M+S`: mud and snow.
    Snow,
    /// `CFO`: cyclic field operation.
    CyclicField,
    /// `CHO`: cyclic harvesting operation.
    CyclicHarvest,
    /// `NRO`: narrow rim option.
    NarrowRim,
    /// `IMP`: implement.
    Implement,
    /// `AW`: farm wagons; from memory.
    Wagon,
    /// `LS`: log skidder; from memory.
    LogSkidder,
    /// `DH`: log skidder, heavy; from memory.
    HeavySkidder,
}

/// Whether the tyre is made for a tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tube {
    /// `TL`.
    Tubeless,
    /// `TT`.
    TubeType,
}

/// A tread type code, such as `L-5`, `E-3`, `R-1W`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct TreadCode {
    pub(super) series: &'static str,
    pub(super) number: u8,
    pub(super) variant: Option<char>,
}

/// A load index, or two for single and dual fitment, with the speed symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ServiceDescription {
    pub(super) single: u16,
    pub(super) dual: Option<u16>,
    pub(super) speed: &'static str,
}

/// Everything after the rim code, each kind in its own place.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Markings {
    pub(super) commercial: bool,
    pub(super) services: Vec<Service>,
    pub(super) ply_rating: Option<u8>,
    pub(super) load_range: Option<LoadRange>,
    pub(super) tube: Option<Tube>,
    pub(super) treads: Vec<TreadCode>,
    pub(super) stars: u8,
    pub(super) descriptions: Vec<ServiceDescription>,
}

/// The series of tread codes: compactor, earthmover, steering, grader, flotation, implement, loader, log skidder,
/// mining and logging, traction; and `T`, by which makers of radial tyres tell how deep the tread is.
pub(super) const TREAD_SERIES: [&str; 11] = ["C", "E", "F", "G", "HF", "I", "L", "LS", "M", "R", "T"];

/// Speed symbols with their speeds in km/h, those of two characters first so that `A8` is not read as `A`.
pub(super) const SPEED_SYMBOLS: [(&str, u16); 29] = [
    ("A1", 5),
    ("A2", 10),
    ("A3", 15),
    ("A4", 20),
    ("A5", 25),
    ("A6", 30),
    ("A7", 35),
    ("A8", 40),
    ("B", 50),
    ("C", 60),
    ("D", 65),
    ("E", 70),
    ("F", 80),
    ("G", 90),
    ("J", 100),
    ("K", 110),
    ("L", 120),
    ("M", 130),
    ("N", 140),
    ("P", 150),
    ("Q", 160),
    ("R", 170),
    ("S", 180),
    ("T", 190),
    ("U", 200),
    ("H", 210),
    ("V", 240),
    ("W", 270),
    ("Y", 300),
];

impl Service {
    /// Every service word.
    pub const ALL: [Service; 27] = [
        Service::LightTruck,
        Service::SpecialTrailer,
        Service::NotForHighway,
        Service::Industrial,
        Service::FarmImplement,
        Service::ServiceLimited,
        Service::MobileHome,
        Service::AllTerrain,
        Service::TractorGrader,
        Service::MultiPurpose,
        Service::TruckRim,
        Service::MiningLogging,
        Service::LowPlatform,
        Service::ExtraTread,
        Service::OffRoad,
        Service::FreeRolling,
        Service::Camper,
        Service::ExtraLoad,
        Service::Reinforced,
        Service::Snow,
        Service::CyclicField,
        Service::CyclicHarvest,
        Service::NarrowRim,
        Service::Implement,
        Service::Wagon,
        Service::LogSkidder,
        Service::HeavySkidder,
    ];

    /// The service of a word in capitals, also where it is written in another way.
    pub(super) fn from_word(word: &str) -> Option<Service> {
        match word {
            "IN" => Some(Service::Industrial),
            "REINF" | "REINFORCED" => Some(Service::Reinforced),
            "IMPLEMENT" => Some(Service::Implement),
            "M&S" | "M-S" => Some(Service::Snow),
            _ => Service::ALL.into_iter().find(|service| service.word() == word),
        }
    }

    /// As the sidewall shows it.
    pub const fn word(self) -> &'static str {
        match self {
            Service::LightTruck => "LT",
            Service::SpecialTrailer => "ST",
            Service::NotForHighway => "NHS",
            Service::Industrial => "IND",
            Service::FarmImplement => "FI",
            Service::ServiceLimited => "SL",
            Service::MobileHome => "MH",
            Service::AllTerrain => "AT",
            Service::TractorGrader => "TG",
            Service::MultiPurpose => "MPT",
            Service::TruckRim => "TR",
            Service::MiningLogging => "ML",
            Service::LowPlatform => "HC",
            Service::ExtraTread => "ET",
            Service::OffRoad => "POR",
            Service::FreeRolling => "FRT",
            Service::Camper => "CP",
            Service::ExtraLoad => "XL",
            Service::Reinforced => "RF",
            Service::Snow => "M+S",
            Service::CyclicField => "CFO",
            Service::CyclicHarvest => "CHO",
            Service::NarrowRim => "NRO",
            Service::Implement => "IMP",
            Service::Wagon => "AW",
            Service::LogSkidder => "LS",
            Service::HeavySkidder => "DH",
        }
    }
}

impl Tube {
    /// As the sidewall shows it.
    pub const fn word(self) -> &'static str {
        match self {
            Tube::Tubeless => "TL",
            Tube::TubeType => "TT",
        }
    }
}

impl TreadCode {
    /// The letters: `L` in `L-5`.
    pub const fn series(self) -> &'static str {
        self.series
    }

    /// The number: 5 in `L-5`.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// The letter after the number: `W` in `R-1W`.
    pub const fn variant(self) -> Option<char> {
        self.variant
    }
}

impl ServiceDescription {
    /// The loads of its indices, single and dual.
    pub fn loads(&self) -> impl Iterator<Item = Quantity> {
        [Some(self.single), self.dual].into_iter().flatten().filter_map(load_index::load)
    }

    /// The speed of the symbol.
    pub fn speed(&self) -> Option<Quantity> {
        let (_, speed) = SPEED_SYMBOLS.iter().find(|(symbol, _)| *symbol == self.speed)?;
        Quantity::new(Exact::from_int(i64::from(*speed)), Unit::KilometrePerHour)
    }
}

impl Markings {
    /// Load indices with their speed symbols, as ordered in the text.
    pub fn descriptions(&self) -> &[ServiceDescription] {
        &self.descriptions
    }

    /// Whether the text says that the tyre is not for highway service.
    pub fn not_for_highway(&self) -> bool {
        self.services.contains(&Service::NotForHighway)
    }

    /// Made for a tube or not, where the text says so.
    pub const fn tube(&self) -> Option<Tube> {
        self.tube
    }

    /// Tread codes, as ordered in the text.
    pub fn treads(&self) -> &[TreadCode] {
        &self.treads
    }

    /// The number of stars, a load capacity mark of radial tyres for earthmovers and fields.
    pub const fn stars(&self) -> u8 {
        self.stars
    }
}

impl fmt::Display for TreadCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.series, self.number)?;
        self.variant.map_or(Ok(()), |letter| write!(f, "{letter}"))
    }
}

impl fmt::Display for ServiceDescription {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.single)?;
        if let Some(dual) = self.dual {
            write!(f, "/{dual}")?;
        }
        f.write_str(self.speed)
    }
}

impl fmt::Display for Markings {
    /// Each marking with a blank before it, in a fixed order; `C` follows the rim code directly.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.commercial {
            f.write_str("C")?;
        }
        for service in &self.services {
            write!(f, " {}", service.word())?;
        }
        if let Some(ply_rating) = self.ply_rating {
            write!(f, " {ply_rating}PR")?;
        }
        if let Some(load_range) = self.load_range {
            write!(f, " LR {load_range}")?;
        }
        if let Some(tube) = self.tube {
            write!(f, " {}", tube.word())?;
        }
        for tread in &self.treads {
            write!(f, " {tread}")?;
        }
        if self.stars > 0 {
            write!(f, " {}", "*".repeat(usize::from(self.stars)))?;
        }
        for description in &self.descriptions {
            write!(f, " {description}")?;
        }
        Ok(())
    }
}
