//! A seeded source of random numbers, the same on every machine.

/// SplitMix64.
#[derive(Clone, Debug)]
pub struct Random {
    state: u64,
    spare: Option<f64>,
}

impl Random {
    /// The same numbers for the same seed.
    pub fn seeded(seed: u64) -> Self {
        Self {
            state: seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d,
            spare: None,
        }
    }

    /// A whole number of 64 even bits.
    pub fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Even between 0 and 1, 1 left out.
    pub fn uniform(&mut self) -> f64 {
        (self.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Gaussian with mean 0 and deviation 1 (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        let angle = std::f64::consts::TAU * self.uniform();
        self.spare = Some(radius * angle.sin());
        radius * angle.cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_even_and_gaussian() {
        let mut random = Random::seeded(1);
        let n = 20_000;
        let (mut sum, mut square) = (0.0, 0.0);
        for _ in 0..n {
            let x = random.normal();
            sum += x;
            square += x * x;
        }
        assert!((sum / f64::from(n)).abs() < 0.03 && (square / f64::from(n) - 1.0).abs() < 0.05);
    }
}
