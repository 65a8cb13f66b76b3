"""The exact layer: tasks, lags, resources and deliveries put to a constraint solver."""
