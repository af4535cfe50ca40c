"""The traveller: the paper that goes with a job to the bench."""
