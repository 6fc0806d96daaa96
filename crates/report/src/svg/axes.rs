//! Two numbers against each other: where they lie, the grid, and what its axes are called.

use super::WIDTH;
use super::lettering::Lettering;
use super::place::{Anchor, Area, Spot};
use super::scale::Scale;
use super::sheet::{Ink, Sheet};

/// Room for the axes' numbers and names round a plot as wide as the page, down to `bottom`.
pub(super) const fn plot(bottom: f64) -> Area {
    Area {
        left: 78.0,
        top: 38.0,
        right: WIDTH - 14.0,
        bottom,
    }
}

/// Below the plot, behind the numbers and the name of the axis.
pub(super) const fn below(plot: Area) -> f64 {
    plot.bottom + 64.0
}

/// One number along, the other up.
pub(super) struct Axes {
    pub(super) along: Scale,
    pub(super) up: Scale,
}

impl Axes {
    /// Axes that span the plot between these ends.
    pub(super) fn over(plot: Area, along: (f64, f64), up: (f64, f64)) -> Self {
        Self {
            along: Scale::new(along.0, along.1, plot.left, plot.right),
            up: Scale::new(up.0, up.1, plot.bottom, plot.top),
        }
    }

    pub(super) fn place(&self, along: f64, up: f64) -> (f64, f64) {
        (self.along.place(along), self.up.place(up))
    }

    /// The grid with about so many `ticks` up, and what is called along and up.
    pub(super) fn grid(&self, sheet: &mut Sheet, plot: Area, ticks: usize, called: (&str, &str)) {
        let lettering = Lettering::SMALL;
        for (tick, words) in self.up.ticks(ticks) {
            let y = self.up.place(tick);
            sheet.line("grid", Ink::Soft, (plot.left, y), (plot.right, y));
            let spot = Spot::new(plot.left - 8.0, lettering.centred(y), Anchor::End);
            sheet.write(lettering, Ink::Soft, spot, &words);
        }
        for (tick, words) in self.along.ticks(ticks + 3) {
            let x = self.along.place(tick);
            sheet.line("grid", Ink::Soft, (x, plot.top), (x, plot.bottom));
            let spot = Spot::new(x, plot.bottom + 10.0 + lettering.rise(), Anchor::Middle);
            sheet.write_if_free(lettering, Ink::Soft, spot, &words);
        }
        for end in [(plot.left, plot.top), (plot.right, plot.bottom)] {
            sheet.line("axis", Ink::Soft, (plot.left, plot.bottom), end);
        }
        let (along, up) = called;
        let spot = Spot::new(8.0, plot.top - 16.0, Anchor::Start);
        sheet.write(Lettering::BOLD, Ink::Plain, spot, up);
        let spot = Spot::new(plot.right, plot.bottom + 46.0, Anchor::End);
        sheet.write(Lettering::BOLD, Ink::Plain, spot, along);
    }
}
