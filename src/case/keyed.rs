//! Histories by registration domain and by context number.

use super::history::{History, Keep, Observation};
use super::kind::Domain;
use std::collections::BTreeMap;

/// A fact about one registration domain.
pub(super) trait OfDomain {
    /// The domain.
    fn domain(&self) -> Domain;
}

/// A fact about one context.
pub(super) trait OfContext {
    /// The number of the context.
    fn cid(&self) -> u8;
}

/// One history for each registration domain.
#[derive(Clone, Debug)]
pub struct ByDomain<T>([History<T>; 4]);

impl<T> Default for ByDomain<T> {
    fn default() -> Self {
        Self(std::array::from_fn(|_| History::default()))
    }
}

impl<T> ByDomain<T> {
    /// The history of a domain.
    pub const fn of(&self, domain: Domain) -> &History<T> {
        &self.0[domain as usize]
    }

    /// The histories of all domains, the circuit domain first.
    pub fn values(&self) -> impl Iterator<Item = &History<T>> {
        self.0.iter()
    }

    pub(super) fn values_mut(&mut self) -> impl Iterator<Item = &mut History<T>> {
        self.0.iter_mut()
    }
}

impl<T: OfDomain> Keep<T> for ByDomain<T> {
    fn keep(&mut self, observed: Observation<T>) {
        self.0[observed.value.domain() as usize].keep(observed);
    }
}

/// One history for each context number.
#[derive(Clone, Debug)]
pub struct ByContext<T>(BTreeMap<u8, History<T>>);

impl<T> Default for ByContext<T> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<T> ByContext<T> {
    /// The history of a context number, where anything was read of it.
    pub fn get(&self, cid: &u8) -> Option<&History<T>> {
        self.0.get(cid)
    }

    /// Every context number with its history, in order.
    pub fn iter(&self) -> impl Iterator<Item = (&u8, &History<T>)> {
        self.0.iter()
    }

    /// The histories, in the order of the context numbers.
    pub fn values(&self) -> impl Iterator<Item = &History<T>> {
        self.0.values()
    }

    pub(super) fn values_mut(&mut self) -> impl Iterator<Item = &mut History<T>> {
        self.0.values_mut()
    }

    /// The context numbers, in order.
    pub fn keys(&self) -> impl Iterator<Item = &u8> {
        self.0.keys()
    }

    /// Whether nothing was read of any context.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<T> Keep<(u8, T)> for ByContext<T> {
    fn keep(&mut self, observed: Observation<(u8, T)>) {
        let Observation { value: (cid, value), span, at, order, by } = observed;
        self.0.entry(cid).or_default().keep(Observation { value, span, at, order, by });
    }
}

impl<T: OfContext> Keep<T> for ByContext<T> {
    fn keep(&mut self, observed: Observation<T>) {
        self.0.entry(observed.value.cid()).or_default().keep(observed);
    }
}
