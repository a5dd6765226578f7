// Package motion moves people: a pitcher through windmill deliveries and the
// time between them, a catcher, people who walk past.
//
// A person is a set of channels (where the pelvis is, how far the trunk leans,
// where each foot stands, how each arm is held), each a monotone cubic through
// keys in time. Joints turns the channels of one instant into points in space.
//
// Metres and seconds; x runs from the front of the rubber to the plate, y to the
// pitcher's left, z up. Angles are radians, yaws counted from +x towards +y.
package motion
