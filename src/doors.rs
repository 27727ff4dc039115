//! One function each: Request -> Answer.
