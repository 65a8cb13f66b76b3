"""The programme: problem in, plan out. Plain Python."""
