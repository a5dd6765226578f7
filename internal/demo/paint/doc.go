// Package paint draws the demo's pictures: figures of shaded limbs over a ball
// park, with a camera that shakes and grains.
//
// A Canvas is planar video (luma, and chroma at half size) in limited range
// BT.709, or luma alone. Shapes are capsules drawn by signed distance, so that
// their edges cover pixels by area and no library is needed.
package paint
