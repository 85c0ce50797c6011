//! The numbers that a pack sets and figures use.
//!
//! Must not know rules, or which figure uses one.

use crate::units::{Dimension, Exact};

/// A number that a pack sets and a figure uses: the limit of that name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Parameter {
    /// The lowest air temperature that counts as pre-stretch.
    PreStretchTemperature,
    /// The longest time between two log rows that still counts as watched.
    PreStretchLongestGap,
    /// The longest time between two log rows that counts by a recorded lowest temperature.
    PreStretchLongestNight,
    /// How long the stretch lasts.
    PreStretchTime,
    /// The fall that is still the jitter of a pointer, as a share of the target pressure.
    PreStretchJitter,
    /// The time in which the air inside a tyre follows the air beside it.
    PreStretchLag,
    /// The share of the target pressure at which air was let out on purpose.
    PreStretchLetDown,
    /// The longest time between the row before letting the air out and the first row after it.
    PreStretchLetDownTime,
    /// The rise beyond temperature, as a share of the target pressure, from which on air was put in.
    PreStretchTopUp,
    /// By how much a used tyre may have grown inside.
    UsedTyreGrowth,
    /// The share of the modelled volume below which a recorded inside volume is not believed.
    InsideVolumeLeast,
    /// The share above which it is not.
    InsideVolumeMost,
    /// How wide the bounds of the volume model are taken, as a share of the fitted ones.
    VolumeModelWidth,
    /// The share of the mix that is lost.
    Waste,
    /// How far below the operating pressure the target may lie, as a share of it.
    SoftSide,
    /// The share of the tyre's highest pressure that the cage must stand.
    CageFactor,
    /// The coldest core at which material may be pumped.
    ProcessingTemperature,
    /// The longest time between two rows of the workspace log that still counts as watched.
    WorkspaceLongestGap,
    /// The longest time between two rows of it that counts where the lowest temperature between them is known.
    WorkspaceLongestNight,
    /// The coldest workspace in which the ordinary cure time counts.
    WorkspaceTemperature,
    /// The ordinary cure time.
    CureTime,
    /// The cure time in a cold workspace.
    ColdCureTime,
    /// The least time that one stroke of any pump takes.
    FastestStroke,
    /// The least time in which any pump gives a kilogram of mix.
    KilogramTime,
    /// The share of the pump's own cycle time that a stroke takes at least.
    StrokeShare,
    /// How long before the planned start the pump may have started; below zero.
    StartGrace,
    /// The least time for which a rise between two readings of a container counts.
    WarmingSpan,
}

impl Parameter {
    /// Every parameter.
    pub const ALL: [Self; 27] = [
        Self::PreStretchTemperature,
        Self::PreStretchLongestGap,
        Self::PreStretchLongestNight,
        Self::PreStretchTime,
        Self::PreStretchJitter,
        Self::PreStretchLag,
        Self::PreStretchLetDown,
        Self::PreStretchLetDownTime,
        Self::PreStretchTopUp,
        Self::UsedTyreGrowth,
        Self::InsideVolumeLeast,
        Self::InsideVolumeMost,
        Self::VolumeModelWidth,
        Self::Waste,
        Self::SoftSide,
        Self::CageFactor,
        Self::ProcessingTemperature,
        Self::WorkspaceLongestGap,
        Self::WorkspaceLongestNight,
        Self::WorkspaceTemperature,
        Self::CureTime,
        Self::ColdCureTime,
        Self::FastestStroke,
        Self::KilogramTime,
        Self::StrokeShare,
        Self::StartGrace,
        Self::WarmingSpan,
    ];

    /// The name of the limit.
    pub const fn limit(self) -> &'static str {
        match self {
            Self::PreStretchTemperature => "pre_stretch_temperature",
            Self::PreStretchLongestGap => "pre_stretch_longest_gap",
            Self::PreStretchLongestNight => "pre_stretch_longest_night",
            Self::PreStretchTime => "pre_stretch_time",
            Self::PreStretchJitter => "pre_stretch_jitter",
            Self::PreStretchLag => "pre_stretch_lag",
            Self::PreStretchLetDown => "pre_stretch_let_down",
            Self::PreStretchLetDownTime => "pre_stretch_let_down_time",
            Self::PreStretchTopUp => "pre_stretch_top_up",
            Self::UsedTyreGrowth => "used_tyre_growth",
            Self::InsideVolumeLeast => "inside_volume_least",
            Self::InsideVolumeMost => "inside_volume_most",
            Self::VolumeModelWidth => "volume_model_width",
            Self::Waste => "waste_allowance",
            Self::SoftSide => "soft_side",
            Self::CageFactor => "cage_factor",
            Self::ProcessingTemperature => "processing_temperature",
            Self::WorkspaceLongestGap => "workspace_longest_gap",
            Self::WorkspaceLongestNight => "workspace_longest_night",
            Self::WorkspaceTemperature => "workspace_temperature",
            Self::CureTime => "cure_time",
            Self::ColdCureTime => "cold_cure_time",
            Self::FastestStroke => "fastest_stroke",
            Self::KilogramTime => "kilogram_time",
            Self::StrokeShare => "stroke_share",
            Self::StartGrace => "start_grace",
            Self::WarmingSpan => "warming_span",
        }
    }

    /// The unit family of the limit.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::PreStretchTemperature | Self::ProcessingTemperature | Self::WorkspaceTemperature => {
                Dimension::Temperature
            }
            Self::PreStretchLongestGap
            | Self::PreStretchLongestNight
            | Self::PreStretchTime
            | Self::PreStretchLag
            | Self::PreStretchLetDownTime
            | Self::WorkspaceLongestGap
            | Self::WorkspaceLongestNight
            | Self::CureTime
            | Self::ColdCureTime
            | Self::FastestStroke
            | Self::KilogramTime
            | Self::StartGrace
            | Self::WarmingSpan => Dimension::Duration,
            Self::PreStretchJitter
            | Self::PreStretchLetDown
            | Self::PreStretchTopUp
            | Self::UsedTyreGrowth
            | Self::InsideVolumeLeast
            | Self::InsideVolumeMost
            | Self::VolumeModelWidth
            | Self::Waste
            | Self::SoftSide
            | Self::CageFactor
            | Self::StrokeShare => Dimension::Percent,
        }
    }
}

/// A parameter out of its place does not compile.
#[expect(clippy::indexing_slicing, reason = "in a constant it is found when the program is built")]
const _: () = {
    let mut at = 0;
    while at < Parameter::ALL.len() {
        assert!(Parameter::ALL[at] as usize == at, "a parameter is not in its place");
        at += 1;
    }
};

/// The values of the parameters on the day of the start, in base units.
#[derive(Debug, Clone, Default)]
pub struct Parameters {
    values: [Option<Exact>; Parameter::ALL.len()],
}

impl Parameters {
    /// Takes each parameter from `in_force`, which gives the base value of its limit.
    pub fn from_limits(in_force: impl Fn(Parameter) -> Option<Exact>) -> Self {
        Self { values: Parameter::ALL.map(in_force) }
    }

    pub(super) fn get(&self, parameter: Parameter) -> Option<Exact> {
        self.values.get(parameter as usize).copied().flatten()
    }
}
