//! What the person who stands at a hold point is told: before a hand is laid on anything, when to stop, and who stands
//! where.
//!
//! One table for every report, page and template, so that no two of them say it otherwise. Common practice, no source;
//! makers' instructions, safety data sheets and local codes take priority. Must not know a job.

use super::HoldPoint;

/// The cautions of one hold point, each of whole sentences.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// While the job is held: what comes before anything is touched to put it right.
    pub held: &'static str,
    /// Where work may go on: what is seen to first.
    pub first: &'static str,
    /// The signs at which nobody waits.
    pub stop: &'static str,
    /// Who stands where.
    pub stand: &'static str,
}

impl Moment {
    /// What is said where work may go on, in the order in which it is needed.
    pub const fn going_on(self) -> [&'static str; 3] {
        [self.first, self.stand, self.stop]
    }
}

/// What is true of every assembly that air may be in.
const AIR_OUT: &str = "Before anything on a tyre or wheel is loosened, tightened, drilled, pierced or taken off: air out slowly, core out, \
                       wire through the stem. Else touch nothing.";

impl HoldPoint {
    /// The same of assemblies that stay on their machine: after the fill nothing is lifted, and nothing is set down.
    pub const fn moment_on_vehicle(self) -> Moment {
        let moment = self.moment();
        match self {
            Self::BeforeAir => Moment {
                first: "Before the air is turned on, all nuts of the wheel are tight, the machine stands on its supports and \
                        the tyre is off the ground, and on its stem is a clip-on chuck that nobody holds, with the in-line \
                        valve and the gauge at the far end of the hose.",
                stand: "Everybody stands out of the path of flying parts: nobody in front of a sidewall, a ring or the stem, \
                        nobody under the machine, and nobody leans on the wheel or reaches behind it.",
                ..moment
            },
            Self::AfterFill => Moment {
                first: "Before anybody leaves it: valve and vent shut, nothing weeping, the machine on its supports and out of \
                        use, and a mark on the wheel that it is filled, under pressure and not cured.",
                stop: "Keep away if liquid comes out, if the tyre bulges or loses pressure, or if a support sinks.",
                stand: "Nobody moves the machine, works on it or lies under it until the filling has cured.",
                ..moment
            },
            _ => moment,
        }
    }

    /// What is told at this hold point.
    pub const fn moment(self) -> Moment {
        match self {
            Self::BeforeAir => Moment {
                held: AIR_OUT,
                first: "Before the air is turned on, the assembly is in its cage or behind its barrier, as recorded, and on its \
                        stem is a clip-on chuck that nobody holds, with the in-line valve and the gauge at the far end of \
                        the hose.",
                stop: "Shut the air off, and let nobody near, if a bead or a ring does not seat evenly, if anything moves, \
                       bulges or makes a noise, or if the gauge jumps, or stands still while air goes in. Never hammer, \
                       kick or step on a part that is under pressure.",
                stand: "Everybody stands out of the path of flying parts: nobody in front of a sidewall, a ring or the stem, \
                        and nobody leans on the cage or reaches into it.",
            },
            Self::BeforeFill => Moment {
                held: AIR_OUT,
                first: "Before hose, drill or needle come to a tyre that holds air: everyone out of the path of flying parts, the air \
                        let out slowly from the side, the core out, a wire through the stem. Before the pump starts: the vent open and clear, its catch hose led away from people, one person to watch \
                        it from the side with eye protection on, the gauge at the tyre, and the target with its highest \
                        pressure written where the pump is stopped. A mixer in which mix stood longer than its pot life \
                        is changed first.",
                stop: "Stop at once, and let nobody near, if somebody steps into the path of flying parts; if the tyre, a ring \
                       or a bead moves, bulges or makes a noise; if liquid comes out anywhere but at the vent; if the gauge \
                       jumps; if, with the vent closed, it does not rise with a stroke; or if one side of the mix falls \
                       behind.",
                stand: "Whoever works the pump stands beside the tread, out of the path of flying parts; everybody else stays \
                        away until the valve at the tyre is shut.",
            },
            Self::AfterFill => Moment {
                held: "A tyre with filling in it is under pressure: open neither valve nor vent, loosen nothing, and keep \
                       everyone out of the path of flying parts. It may be reworked only within the pot life and as the material's maker \
                       says. Otherwise it is scrapped, or the maker of tyre or machine is asked for a concession.",
                first: "Before it is moved, or left on its vehicle: valve and vent shut, nothing weeping, and a mark on it that \
                        it is filled, under pressure and not cured. It is brought to the place where it cures within the pot \
                        life, or stays where it is until it has cured. A machine on which it was filled stays on its \
                        supports, out of use.",
                stop: "Set it down, where it hangs, and keep away if liquid comes out, if it bulges or loses pressure, or if the \
                       gear sinks.",
                stand: "It weighs several times what an air-filled one does: gear that may carry it, nobody under it, and nobody \
                        in the way that it can roll or fall.",
            },
            Self::BeforeService => Moment {
                held: "A filled tyre is never inflated, cut, welded, heated or taken apart here. If something can no longer be \
                       shown, ask the maker of the tyre or of the machine for a concession in writing.",
                first: "Before the machine moves: a look from outside the path of flying parts that nothing bulges, weeps, cracks or has \
                        moved since the fill; the nuts at the torque of the machine's maker, whoever fits the wheel, and the hour named at which \
                        they are tightened again; a lasting mark on the wheel that it is filled; the owner told its mass, speed \
                        and duty.",
                stop: "Take it out of service if it runs hot, bulges or cracks, if a nut comes loose, or if the tyre creeps on \
                       its rim.",
                stand: "While it is mounted, nobody is under the wheel or the machine: stands carry the machine, and gear that \
                        may carry it holds the wheel.",
            },
        }
    }
}
