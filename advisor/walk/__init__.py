"""The walk around the car: asks the inspection's questions at the seller's."""
