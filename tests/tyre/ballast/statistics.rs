//! How far off the model was, over many published rows.

use fillward::tyre::cavity::Cavity;

/// One published row beside the model.
pub(super) struct Row {
    pub(super) size: String,
    pub(super) published: f64,
    pub(super) cavity: Cavity,
}

/// How far off the model was for one row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Miss {
    /// Modelled over published volume, less one.
    pub(super) error: f64,
    /// Whether the published volume lies within the stated interval.
    pub(super) inside: bool,
}

impl Row {
    /// Modelled over published volume.
    pub(super) fn ratio(&self) -> f64 {
        self.cavity.point.base().to_f64() / self.published
    }

    /// The miss, had the shape factor been `factor` times what it is.
    pub(super) fn miss(&self, factor: f64) -> Miss {
        let volume = self.cavity.volume;
        let interval = volume.lo().to_f64() * factor..=volume.hi().to_f64() * factor;
        Miss { error: self.ratio() * factor - 1.0, inside: interval.contains(&self.published) }
    }
}

#[derive(Debug)]
pub(super) struct Statistics {
    pub(super) rows: usize,
    pub(super) mean: f64,
    pub(super) spread: f64,
    pub(super) worst: f64,
    pub(super) inside: f64,
}

impl Statistics {
    /// The variance of the mean.
    pub(super) fn doubt(&self) -> f64 {
        self.spread.powi(2) / count(self.rows)
    }
}

pub(super) fn count(rows: usize) -> f64 {
    f64::from(u32::try_from(rows).unwrap())
}

pub(super) fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let n = count(values.len());
    values.sum::<f64>() / n
}

pub(super) fn statistics(misses: &[Miss]) -> Statistics {
    let n = count(misses.len());
    let middle = mean(misses.iter().map(|miss| miss.error));
    let variance = misses.iter().map(|miss| (miss.error - middle).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    let further = |worst: f64, miss: &Miss| if miss.error.abs() > worst.abs() { miss.error } else { worst };
    let inside = count(misses.iter().filter(|miss| miss.inside).count()) / n;
    Statistics {
        rows: misses.len(),
        mean: middle,
        spread: variance.sqrt(),
        worst: misses.iter().fold(0.0, further),
        inside,
    }
}
