// Package deliverysheet makes the delivery sheet: four stills (drive, plant, top, release) of a
// pitcher's fastball above the same four of her change-up, cropped alike, with their times
// under them, as one picture.
package deliverysheet
