//! A deck: things to deal one after the other in an order of chance, again from the top when
//! all are dealt.

use super::chance::Chance;

pub(super) struct Deck<T> {
    cards: Vec<T>,
    next: usize,
}

impl<T> Deck<T> {
    pub fn shuffled(cards: Vec<T>, chance: &mut Chance) -> Self {
        Self { cards: chance.shuffled(cards), next: 0 }
    }

    /// The next card; `None` of an empty deck.
    pub fn deal(&mut self) -> Option<&T> {
        let card = self.cards.get(self.next)?;
        self.next = (self.next + 1) % self.cards.len();
        Some(card)
    }

    /// All cards, in the order in which they are dealt.
    pub fn all(&self) -> &[T] {
        &self.cards
    }

    pub fn len(&self) -> usize {
        self.cards.len()
    }
}
