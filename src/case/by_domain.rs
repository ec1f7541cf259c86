//! Something for each of the registration domains.

use crate::case::Domain;

/// One value for each domain.
#[derive(Clone, Debug, Default)]
pub struct ByDomain<T>([T; 4]);

impl<T> ByDomain<T> {
    /// The value of a domain.
    pub const fn of(&self, domain: Domain) -> &T {
        &self.0[domain as usize]
    }

    pub(super) const fn of_mut(&mut self, domain: Domain) -> &mut T {
        &mut self.0[domain as usize]
    }

    /// The values of all domains, the circuit domain first.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        self.0.iter()
    }

    pub(super) fn values_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.0.iter_mut()
    }
}
