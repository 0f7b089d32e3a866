"""The way through: one module for each step of the job, and the fields they are made of."""
